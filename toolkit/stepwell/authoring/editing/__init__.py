"""Edits of a procedure's text: pure functions from a text and an edit to a text."""
