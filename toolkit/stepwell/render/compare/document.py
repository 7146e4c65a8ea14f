"""A comparison as a JSON document, as ``schema/compare.schema.json`` describes it."""

from __future__ import annotations

import json

from stepwell.compare.edits import Edit
from stepwell.compare.results import Comparison
from stepwell.render.compare.copy import Copy, Told
from stepwell.render.compare.view import view_of
from stepwell.render.json_report import Json, finding_document


def render_compare_json(found: Comparison, copies: tuple[Copy, ...] = (), *, version: str) -> str:
    """The document as text that ends in a newline. ``version`` is the tool's own. Keys keep the order of the schema."""
    return json.dumps(compare_document(found, copies, version=version), ensure_ascii=False, indent=2) + "\n"


def compare_document(found: Comparison, copies: tuple[Copy, ...] = (), *, version: str) -> dict[str, Json]:
    """The document as plain values; every key is always there."""
    view = view_of(found)
    return {
        "tool": "stepwell",
        "version": version,
        "as_of": found.as_of.isoformat(),
        "old": found.old,
        "new": found.new,
        "changes": len(found.edits),
        "shown": view.shown,
        "anything_weaker": found.anything_weaker,
        "answer": view.answer,
        "follows": view.digest,
        "undisclosed": list(found.undisclosed),
        "unread": list(found.unread),
        "rules": {"old": found.rules[0], "new": found.rules[1]},
        "edits": [_edit(number, edit) for number, edit in enumerate(found.edits, 1)],
        "meaning": _meaning(found),
        "cards": [
            {
                "procedure": card.procedure,
                "title": card.title,
                "old": card.old,
                "new": card.new,
                "same_version": card.same_version,
                "language": card.language,
                "also": list(card.also),
                "drafts": list(card.drafts),
                "hangs": list(card.hangs),
            }
            for card in found.cards
        ],
        "copies": [_copy(one) for one in copies],
    }


def _copy(copy: Copy) -> Json:
    return {
        "card": copy.name,
        "title": copy.title,
        "changes": list(copy.changes),
        "head": _told(copy.head),
        "lines": [
            {
                "sort": line.sort,
                "depth": line.depth,
                "mark": line.mark,
                "who": line.who,
                "text": line.text,
                "details": _told(line.details),
                "changes": list(line.changes),
            }
            for line in copy.lines
        ],
        "foot": _told(copy.foot),
    }


def _told(told: Told) -> Json:
    return [{"what": what, "words": words} for what, words in told]


def _edit(number: int, edit: Edit) -> Json:
    return {
        "number": number,
        "sort": edit.sort.value,
        "document": edit.document,
        "item": edit.item,
        "field": edit.field,
        "others": list(edit.others),
        "subject": edit.subject,
        "old": edit.old,
        "new": edit.new,
        "weaker": list(edit.weaker),
        "reaches": list(edit.reaches),
        "steps": list(edit.steps),
        "lines": list(edit.lines),
    }


def _meaning(found: Comparison) -> Json:
    meaning = found.meaning
    return {
        "compared": list(meaning.compared),
        "slips_compared": meaning.slips_compared,
        "slips_of": list(meaning.slips_of),
        "unsafe": list(meaning.unsafe),
        "verdicts": [
            {
                "procedure": one.procedure,
                "rule": one.rule,
                "code": one.code,
                "severity": one.severity.word,
                "old": one.old,
                "new": one.new,
                "worse": one.worse,
            }
            for one in meaning.verdicts
        ],
        "findings_new": [finding_document(one) for one in meaning.findings_new],
        "findings_cured": [finding_document(one) for one in meaning.findings_cured],
        "orders": [
            {
                "procedure": one.procedure,
                "turn": one.turn.value,
                "first": one.first,
                "then": one.then,
                "parts": list(one.parts),
                "critical": one.critical,
            }
            for one in meaning.orders
        ],
        "slips": [
            {
                "procedure": one.procedure,
                "step": one.step,
                "sort": one.sort,
                "old": one.old,
                "new": one.new,
                "rule": one.rule or None,
                "fatal": one.fatal,
                "worse": one.worse,
            }
            for one in meaning.slips
        ],
        "figures": [
            {"about": one.about, "what": one.what, "old": one.old, "new": one.new, "worse": one.worse}
            for one in meaning.shifts
        ],
    }
