"""Mistakes as authors make them, and whether the tool names the right line and the right mend."""
