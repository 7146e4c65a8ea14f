"""Cards as PDF."""
