"""One module per part kind."""
