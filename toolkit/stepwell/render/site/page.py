"""What a page of the site is made from."""

from __future__ import annotations

Page = tuple[str, str, dict[str, object], dict[str, object]]
"""The path from the top of the site, the template, what the frame is told of the page, and what the template is given."""
