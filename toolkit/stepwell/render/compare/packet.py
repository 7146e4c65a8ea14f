"""The packet for a committee as a PDF: every change with a tick, old beside new, and a block for the decision."""

from __future__ import annotations

import hashlib
from dataclasses import replace

from stepwell.compare.results import Comparison
from stepwell.publish.canonical import Plain
from stepwell.render.cards.clean import Cleaner
from stepwell.render.cards.engine import default_engine
from stepwell.render.compare.copy import Copy
from stepwell.render.compare.document import render_compare_json
from stepwell.render.compare.view import NOTICE, Item, Section, view_of
from stepwell.resources import data_dir

PLACES = 4
"""Lines to sign."""


def render_packet(found: Comparison, copies: tuple[Copy, ...] = ()) -> bytes:
    """The packet as PDF/A-2a and PDF/UA-1; the same comparison gives the same bytes. Raises EngineError."""
    engine = default_engine()
    packet = replace(engine, template=data_dir("site_templates") / "compare" / "packet.typ")
    data = Cleaner(characters=engine.characters).clean(packet_data(found, copies))
    return packet.open(data, {}).pdf(found.as_of)


def packet_data(found: Comparison, copies: tuple[Copy, ...] = ()) -> dict[str, Plain]:
    """What the template lays out. ``mark`` is a hash of it all, so that minutes can name what was agreed to."""
    view = view_of(found)
    told = hashlib.sha256(render_compare_json(found, copies, version="").encode()).hexdigest()
    return {
        "title": view.title,
        "answer": view.answer,
        "digest": view.digest,
        "count": view.count,
        "weaker": view.weaker,
        "as_of": found.as_of.isoformat(),
        "date": [found.as_of.year, found.as_of.month, found.as_of.day],
        "mark": told[:12],
        "sections": [_section(section) for section in view.sections],
        "copies": [_copy(copy) for copy in copies],
        "places": PLACES,
        "notice": NOTICE,
    }


def _section(section: Section) -> Plain:
    return {
        "title": section.title,
        "bad": section.bad,
        "items": [_item(item) for item in section.items],
        "rows": [{"text": row.text, "worse": row.worse} for row in section.rows],
    }


def _copy(copy: Copy) -> Plain:
    return {
        "name": copy.name,
        "title": copy.title,
        "changes": list(copy.changes),
        "head": [list(one) for one in copy.head],
        "foot": [list(one) for one in copy.foot],
        "lines": [
            {
                "sort": line.sort,
                "depth": line.depth,
                "mark": line.mark,
                "who": line.who,
                "text": line.text,
                "details": [list(one) for one in line.details],
                "changes": list(line.changes),
            }
            for line in copy.lines
        ],
    }


def _item(item: Item) -> Plain:
    return {
        "number": item.number,
        "place": item.place,
        "head": item.head,
        "old": item.old,
        "new": item.new,
        "why": list(item.why),
        "notes": list(item.notes),
    }
