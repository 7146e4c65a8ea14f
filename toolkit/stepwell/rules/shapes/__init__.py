"""One module per rule shape."""
