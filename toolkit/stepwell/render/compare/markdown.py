"""A comparison as Markdown for a pull request: a tick per change, old beside new."""

from __future__ import annotations

import re

from stepwell.compare.results import Comparison
from stepwell.render.compare.view import NOTICE, Item, Section, view_of
from stepwell.render.text.wrap import tame

_SPECIAL = re.compile(r"([\\`*_{}\[\]<>#|~!@])")


def render_compare_markdown(found: Comparison) -> str:
    """The comparison as text that ends in a newline. Author's words can't become markup, links or mentions."""
    view = view_of(found)
    out = [f"## {plain(view.title)}", "", f"**{plain(view.answer)}**", "", plain(view.count), ""]
    for section in view.sections:
        out += _section(section)
    return "\n".join([*out, f"*{plain(NOTICE)}*", ""])


def plain(text: str) -> str:
    """Words as words: one line, no markup."""
    return _SPECIAL.sub(r"\\\1", tame(text))


def _section(section: Section) -> list[str]:
    out = [f"### {'⚠ ' if section.bad else ''}{plain(section.title)}", ""]
    place = ""
    for item in section.items:
        if item.place != place:
            place = item.place
            out += [f"**{plain(place)}**", ""]
        out += _item(item)
    out += [f"- {'**worse:** ' if row.worse else ''}{plain(row.text)}" for row in section.rows]
    return [*out, ""]


def _item(item: Item) -> list[str]:
    out = [f"- [ ] **{item.number}.** {plain(item.head)}"]
    if item.old:
        out.append(f"  - was: {plain(item.old)}")
    if item.new:
        out.append(f"  - now: {plain(item.new)}")
    out += [f"  - **WEAKER:** {plain(why)}" for why in item.why]
    out += [f"  - {plain(note)}" for note in item.notes]
    return out
