"""A comparison as one HTML page that needs nothing else: no script, no network."""

from __future__ import annotations

from stepwell.compare.results import Comparison
from stepwell.render.compare.copy import Copy
from stepwell.render.compare.view import NOTICE, view_of
from stepwell.render.site.environment import environment
from stepwell.resources import data_dir


def render_compare_page(found: Comparison, copies: tuple[Copy, ...] = ()) -> str:
    """The page as text. Everything that an author wrote is escaped."""
    template = environment(data_dir("site_templates") / "compare").get_template("page.html")
    return template.render(view=view_of(found), copies=copies, notice=NOTICE, as_of=found.as_of.isoformat())
