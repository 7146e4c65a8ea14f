"""Laying out: terminal text, JSON, cards, site."""
