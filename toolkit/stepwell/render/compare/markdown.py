"""A comparison as Markdown for a pull request: a tick per change, old beside new."""

from __future__ import annotations

import re

from stepwell.compare.results import Comparison
from stepwell.render.compare.copy import Copy
from stepwell.render.compare.view import NOTICE, Item, Section, view_of
from stepwell.render.text.wrap import tame

_SPECIAL = re.compile(r"([\\`*_{}\[\]<>#|~!@])")


def render_compare_markdown(found: Comparison, copies: tuple[Copy, ...] = ()) -> str:
    """The comparison as text that ends in a newline. Author's words can't become markup, links or mentions."""
    view = view_of(found)
    out = [f"## {plain(view.title)}", "", f"**{plain(view.answer)}**", "", plain(view.digest), "", plain(view.count), ""]
    for section in view.sections:
        out += _section(section)
    for copy in copies:
        out += _copy(copy)
    return "\n".join([*out, f"*{plain(NOTICE)}*", ""])


def _copy(copy: Copy) -> list[str]:
    out = [f"### The new text in full: {plain(copy.title)} ({plain(copy.name)}){_changes(copy.changes)}", ""]
    out += [f"- {plain(what)}: {plain(words)}" for what, words in copy.head]
    for line in copy.lines:
        lead = " ".join(plain(word) for word in (line.mark, line.who) if word)
        words = f"**{plain(line.text)}**" if line.sort in ("head", "hold") else plain(line.text)
        out.append(f"{'  ' * line.depth}- {lead}{': ' if lead else ''}{words}{_changes(line.changes)}")
        out += [f"{'  ' * (line.depth + 1)}- {plain(what)}: {plain(said)}" for what, said in line.details]
    return [*out, *(f"- {plain(what)}: {plain(words)}" for what, words in copy.foot), ""]


def _changes(numbers: tuple[int, ...]) -> str:
    return f" *(change {', '.join(map(str, numbers))})*" if numbers else ""


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
