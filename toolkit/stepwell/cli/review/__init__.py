"""The verbs of review: propose, approve, walk through, release, withdraw, verify, recall."""
