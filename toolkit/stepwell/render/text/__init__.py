"""The terminal report."""
