"""Single slips: which one nobody would notice. Holds its place; empty until the search of slips is written."""
