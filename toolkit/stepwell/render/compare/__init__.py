"""A comparison as text, JSON, Markdown, a page and a packet: one view, laid out five ways."""
