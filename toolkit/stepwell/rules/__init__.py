"""Hazard rules as data: grounding on a rig, evaluation, and the English sentence of each."""
