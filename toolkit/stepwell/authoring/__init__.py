"""Doors for authors: new files from a few answers, drafts from documents, the page that edits."""
