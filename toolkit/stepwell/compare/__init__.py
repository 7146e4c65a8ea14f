"""What a change means. Holds its place; empty until the comparison is written."""
