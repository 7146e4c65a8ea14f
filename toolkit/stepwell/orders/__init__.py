"""Every permitted order: the program of a body, the exhaustive search, the count of orders."""
