"""The sheets beside the cards."""
