"""``accepted.yaml``: findings of writing that the unit lives with, read with findings of its own, and written anew."""

from __future__ import annotations

from collections.abc import Iterable

from stepwell.model.accepted import Accepted
from stepwell.source.fields import Fields, first_span, mapping_of
from stepwell.source.nodes import Mapping, Node
from stepwell.source.read_date import read_date
from stepwell.source.scope import Scope
from stepwell.source.sections import Key, Section

FILE = "accepted.yaml"
_WHOLE = Section(
    "the list of accepted findings",
    (Key("accepted", "a list of findings", "accepted: []", required=True),),
)
_ONE = Section(
    "the accepted finding",
    (
        Key("rule", "the name of a rule of writing", "rule: line-too-long", required=True),
        Key("procedure", "the id of a procedure", "procedure: prime-adult", required=True),
        Key("step", "a step id", "step: k7f3"),
        Key("on", "a date", "on: 2026-11-28", required=True),
        Key("by", "a role", "by: education-lead", required=True),
    ),
)
_HEAD = """\
# Findings of writing that were there, were seen, and are accepted: `stepwell check` does not show them again.
# Written by `stepwell check --accept ROLE`. Fatal findings, and what breaks a rule of the order, are always shown.
"""


def read_accepted(root: Node, scope: Scope) -> tuple[Accepted, ...]:
    """The entries of the file, as far as they can be read."""
    node = mapping_of(root, _WHOLE, scope.notes, what=FILE, example="accepted: []")
    if node is None:
        return ()
    fields = Fields(node, _WHOLE, scope.notes, first_span(node)).check()
    return tuple(one for item in fields.listing("accepted") if (one := _one(item, scope)) is not None)


def _one(item: Node, scope: Scope) -> Accepted | None:
    node = mapping_of(item, _ONE, scope.notes, what="An accepted finding", example="rule: line-too-long")
    if not isinstance(node, Mapping):
        return None
    fields = Fields(node, _ONE, scope.notes, first_span(node)).check()
    rule, procedure, step, by = (fields.scalar(key) for key in ("rule", "procedure", "step", "by"))
    day = read_date(fields, "on", scope)
    if by is not None:
        scope.role(by)
    if rule is None or procedure is None or by is None or day is None:
        return None
    name = None if step is None else step.text
    return Accepted(rule=rule.text, procedure=procedure.text, step=name, on=day, by=by.text, span=rule.span)


def accepted_text(entries: Iterable[Accepted]) -> str:
    """The file as text: the same entries give the same text."""
    lines = [
        f"  - {{rule: {one.rule}, procedure: {one.procedure},"
        + (f" step: {one.step}," if one.step else "")
        + f" on: {one.on.isoformat()}, by: {one.by}}}"
        for one in sorted(entries, key=lambda one: (one.procedure, one.step or "", one.rule))
    ]
    return _HEAD + ("accepted:\n" + "\n".join(lines) + "\n" if lines else "accepted: []\n")
