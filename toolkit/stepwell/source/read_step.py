"""One step of a procedure."""

from __future__ import annotations

import re

from stepwell.model.procedure import Action, Step, Warn
from stepwell.source import faults
from stepwell.source.as_written import as_written
from stepwell.source.fields import Fields, first_span, mapping_of
from stepwell.source.near import quote
from stepwell.source.nodes import Listing, Mapping, Node, Scalar
from stepwell.source.read_action import read_at_once, read_do
from stepwell.source.read_expect import read_expectations, read_otherwise
from stepwell.source.read_quantity import read_times
from stepwell.source.read_text import scalar_text, words_at
from stepwell.source.scope import Scope, StepUse
from stepwell.source.sections import STEP, WARN

_ID = re.compile(r"[a-z][a-z0-9]{3}")
SEVERITIES = ("fatal", "serious", "minor")


def read_id(fields: Fields, scope: Scope) -> str:
    """The id of a step, question, repeat or hold: minted by the tool, never a position, once in a procedure."""
    node = fields.entry("id")
    if node is None:
        return ""
    value = node.value
    if isinstance(value, Scalar) and isinstance(value.value, int | float) and not isinstance(value.value, bool):
        scope.notes.add(
            faults.POSITIONAL_ID,
            value.span,
            f"{quote(value.text)} is a number; it would have to change when a step is put in before it.",
            "Use an id that says nothing: a letter and three letters or digits, for example `id: k7f3`.",
        )
        return value.text
    found = fields.scalar("id")
    if found is None:
        return ""
    if not _ID.fullmatch(found.text):
        scope.notes.add(
            faults.MALFORMED_ID,
            found.span,
            f"{quote(found.text)} can't be the id of a step: a small letter, then three small letters or digits.",
            "Write for example `id: k7f3`.",
        )
    made = found.text + scope.suffix
    first = scope.bases.setdefault(found.text, found.span)
    if made in scope.ids or first != found.span:
        scope.notes.add(
            faults.DUPLICATE_ID,
            found.span,
            f"The id {quote(found.text)} is used already, in line {first.line}.",
            "Give this one an id of its own; ids are never used again.",
        )
    else:
        scope.ids[made] = found.span
        if scope.suffix:
            scope.families.setdefault(found.text, []).append(made)
    return made


def read_step(node: Mapping, scope: Scope, handle_key: str) -> Step | None:
    """The step of a mapping; None where it lacks what makes it a step."""
    handle = first_span(node) if handle_key in node.entries else node.span
    id_entry = node.get("id")
    name = f"the step {quote(id_entry.value.text)}" if id_entry and isinstance(id_entry.value, Scalar) else ""
    fields = Fields(node, STEP, scope.notes, handle, name)
    if scope.people:
        fields.examples["who"] = f"who: {scope.people[0]}"
    if id_entry is not None and isinstance(id_entry.value, Scalar):
        scope.notes.step = id_entry.value.text
    try:
        fields.check()
        return _step(fields, scope)
    finally:
        scope.notes.step = None


def _step(fields: Fields, scope: Scope) -> Step | None:
    step_id = read_id(fields, scope)
    who, confirm = _role(fields, "who", scope), _role(fields, "confirm", scope)
    if confirm and confirm == who:
        scope.notes.add(
            faults.CONFIRMED_BY_SAME,
            fields.node.entries["confirm"].value.span,
            f"{quote(confirm)} does this step and also confirms it.",
            "Let a second role confirm, or delete `confirm`.",
        )
    do, takes, if_not = fields.entry("do"), fields.entry("takes"), fields.entry("if-not")
    say = fields.entry("say")
    actions, at_once = read_do(do, scope) if do is not None else ((), False)
    if (once := fields.entry("at-once")) is not None:
        actions, at_once, do = _at_once(fields, actions, scope), True, do or once
    for node in fields.listing("after", empty=False):
        found = scalar_text(node, scope, "A step id", "after: [k7f3]")
        if found is not None:
            scope.uses.append(StepUse(id=found.text, span=found.span, by=step_id, after=True, suffix=scope.suffix))
    return Step(
        id=step_id,
        who=who,
        say=words_at(fields, "say", scope),
        do=actions,
        at_once=at_once,
        expect=read_expectations(fields.one_or_more("expect"), scope),
        if_not=None if if_not is None else read_otherwise(if_not, scope, step_id),
        confirm=confirm or None,
        why=words_at(fields, "why", scope),
        warn=tuple(warn for node in fields.one_or_more("warn") if (warn := _warn(node, scope)) is not None),
        takes=None if takes is None else read_times(takes.value, scope, "`takes`"),
        missed=words_at(fields, "missed", scope),
        after=tuple(use.id for use in scope.uses if use.after and use.by == step_id),
        optional=fields.flag("optional"),
        span=None if fields.entry("id") is None else fields.node.entries["id"].span,
        say_span=None if say is None else say.value.span,
        do_span=None if do is None else do.value.span,
    )


def _at_once(fields: Fields, actions: tuple[Action, ...], scope: Scope) -> tuple[Action, ...]:
    if fields.has("do"):
        scope.notes.add(
            faults.MIXED_ITEM,
            fields.node.entries["at-once"].key_span,
            "A step is done at once or one action after another, but here are `do` and `at-once`.",
            "Keep one of them, or make it two steps.",
        )
    return actions + read_at_once(fields, "at-once", scope)


def _role(fields: Fields, key: str, scope: Scope) -> str:
    entry = fields.entry(key)
    if entry is not None and isinstance(entry.value, Listing) and len(entry.value.items) > 1:
        roles = [as_written(item) for item in entry.value.items]
        scope.notes.add(
            faults.WRONG_TYPE,
            entry.value.span,
            f"{quote(key)} takes one role, but here are {len(roles)}.",
            f"Write `{key}: {roles[0]}`; the other can be `confirm: {roles[1]}`, or does a step of its own.",
        )
        return ""
    node = fields.scalar(key)
    return "" if node is None else scope.role(node)


def _warn(node: Node, scope: Scope) -> Warn | None:
    example = "warn: {hazard: Air., consequence: It reaches the patient., avoidance: Keep the vent open.}"
    found = mapping_of(node, WARN, scope.notes, what="`warn`", example=example)
    if found is None:
        return None
    fields = Fields(found, WARN, scope.notes, found.span).check()
    return Warn(
        hazard=words_at(fields, "hazard", scope),
        consequence=words_at(fields, "consequence", scope),
        avoidance=words_at(fields, "avoidance", scope),
        severity=fields.word("severity", SEVERITIES, "serious"),
        span=node.span,
    )
