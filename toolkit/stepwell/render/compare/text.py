"""A comparison for a terminal: the answer first, then what is weaker, then the rest."""

from __future__ import annotations

from stepwell.compare.results import Comparison
from stepwell.render.compare.view import NOTICE, Item, Section, view_of
from stepwell.render.text.look import Look
from stepwell.render.text.wrap import columns, plain_ascii, tame, wrap

_MOST_LINES = 8
"""Lines of a document that came or went that a screen shows, each cut to its width; the other formats show all."""


def render_compare(found: Comparison, look: Look) -> str:
    """The comparison as text that ends in a newline."""
    view = view_of(found)
    out = [look.paint(line, "strong") for line in wrap(view.title, look.width)]
    out += [look.paint(line, "bad" if view.weaker else "good") for line in wrap(view.answer, look.width)]
    out += [*wrap(view.digest, look.width), *wrap(view.count, look.width), ""]
    for section in view.sections:
        out += _section(section, look)
    out += [look.paint(line, "faint") for line in wrap(NOTICE, look.width)]
    text = "\n".join(line.rstrip() for line in out) + "\n"
    return text if look.full else plain_ascii(text)


def _section(section: Section, look: Look) -> list[str]:
    mark = "!! " if section.bad else ""
    out = [look.paint(f"{mark}{section.title}", "bad" if section.bad else "strong")]
    place = ""
    for item in section.items:
        if item.place != place:
            place = item.place
            out += [look.paint(line, "strong") for line in wrap(place, look.width, "  ")]
        out += _item(item, look)
    for row in section.rows:
        out += wrap(row.text, look.width, "  ! " if row.worse else "  - ")
    return [*out, ""]


def _item(item: Item, look: Look) -> list[str]:
    out = [*wrap(item.head, look.width, f"  {item.number:>3}  ")]
    if item.old:
        out += wrap(item.old, look.width, "       was  ")
    if item.new:
        out += wrap(item.new, look.width, "       now  ")
    for why in item.why:
        out += [look.paint(line, "bad") for line in wrap(why, look.width, "       WEAKER: ", "               ")]
    lines = [note for note in item.notes if note.startswith("| ")]
    for note in [note for note in item.notes if note not in lines]:
        out += wrap(note, look.width, "       ")
    out += [f"       {_cut(line, look.width - 7)}" for line in lines[:_MOST_LINES]]
    if len(lines) > _MOST_LINES:
        out.append(f"       ... and {len(lines) - _MOST_LINES} lines more (--format markdown shows all)")
    return out


def _cut(line: str, width: int) -> str:
    """The beginning of a line, marked where something follows."""
    line = tame(line)
    if columns(line) <= width:
        return line
    while columns(line) > width - 4:
        line = line[:-1]
    return line.rstrip() + " ..."
