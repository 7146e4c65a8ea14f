"""The circuit drawn from the rig's data: one layout per rig, one picture per state, as SVG."""
