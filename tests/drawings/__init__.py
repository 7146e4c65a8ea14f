"""The drawings of circuits."""
