"""The pages of the sums: one with the list, and one for each sum."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.quantities.sum_table import sums
from stepwell.render.site.bundles import SUMS
from stepwell.render.site.page import Page


def sum_pages(*, draft: bool) -> Iterator[Page]:
    """Every page, from the top of the site."""
    yield "sums.html", "sums.html", {"title": "Sums about equipment", "draft": draft}, {"sums": sums()}
    for one in sums():
        page: dict[str, object] = {"title": one.formula.title, "draft": draft, "bundle": SUMS}
        yield f"sums/{one.formula.name}.html", "sum.html", page, {"sum": one}
