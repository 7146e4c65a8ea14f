"""The site: pages from sheets and verdicts, laid out by own templates, published by mkdocs."""
