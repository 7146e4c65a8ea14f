"""The circuit model: spaces, gates, equipment, and what follows from each action."""
