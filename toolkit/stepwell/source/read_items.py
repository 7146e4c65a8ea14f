"""The body of a procedure: follow the word that says what an item is, then read it as that."""

from __future__ import annotations

from collections.abc import Callable

from stepwell.model.predicate import ALWAYS
from stepwell.model.procedure import (
    AnyOrder,
    Body,
    Choose,
    Hold,
    Item,
    Lane,
    Lanes,
    Meet,
    Outcome,
    Repeat,
    Stage,
)
from stepwell.source import faults
from stepwell.source.fields import Fields, described, mapping_of
from stepwell.source.near import listed, nearest, quote
from stepwell.source.nodes import Mapping, Node, Scalar
from stepwell.source.read_expect import read_expectations
from stepwell.source.read_predicate import read_predicate
from stepwell.source.read_step import read_id, read_step
from stepwell.source.read_text import scalar_text, words_at
from stepwell.source.read_variants import read_for_each, read_if_rig
from stepwell.source.scope import Scope
from stepwell.source.sections import ANY_ORDER, CHOOSE, HOLD, LANE, LANES, OUTCOME, REPEAT, STAGE, STEP
from stepwell.source.short_sections import MEET

SPLICED = ("for-each", "if-rig")
"""Items that stand for other items."""
GROUPS = ("stage", "any-order", "lanes", "choose", "repeat", "hold", "meet")
_STEP_ONLY = ("id", "say", "who", "do", "expect", "confirm", "warn", "takes")
MOST_REPEATS = 20


def read_body(nodes: list[Node], scope: Scope) -> Body:
    """Every item of a body that could be read."""
    return tuple(item for node in nodes for item in _items(node, scope, loose=False))


def _loose(nodes: list[Node], scope: Scope) -> Body:
    return tuple(item for node in nodes for item in _items(node, scope, loose=True))


def _items(node: Node, scope: Scope, *, loose: bool) -> Body:
    """The items that one node stands for. ``loose``: it stands directly in any-order."""
    if isinstance(node, Mapping) and len([word for word in (*SPLICED, *GROUPS, "say") if word in node.entries]) == 1:
        if "for-each" in node.entries:
            return read_for_each(node, scope, read_body, loose=loose)
        if "if-rig" in node.entries:
            return read_if_rig(node, scope, _loose if loose else read_body)
    item = read_item(node, scope)
    return () if item is None else (item,)


def read_item(node: Node, scope: Scope) -> Item | None:
    """One item; None with a note where it is none."""
    if not isinstance(node, Mapping):
        scope.notes.add(
            faults.WRONG_TYPE,
            node.span,
            f"A step or stage is needed here, but here is {described(node)}.",
            "Write for example `- {id: k7f3, who: nurse, say: Open the clamp.}`.",
        )
        return None
    found = [word for word in (*SPLICED, *GROUPS) if word in node.entries]
    if len(found) > 1 or (found and "say" in node.entries):
        words = [*found, *(["say"] if "say" in node.entries else [])]
        scope.notes.add(
            faults.MIXED_ITEM,
            node.entries[words[1]].key_span,
            f"One item is one thing, but here are {listed(words)}.",
            "Begin the second one with `- ` on a line of its own.",
        )
        return None
    if found:
        return _READERS[found[0]](node, scope)
    handle = next((key for key in _STEP_ONLY if key in node.entries), None)
    guess = next((word for key in node.entries if (word := nearest(key, (*SPLICED, *GROUPS)))), None)
    if handle is None or (guess is not None and "id" not in node.entries and "say" not in node.entries):
        _unclear(node, scope)
        return None
    return read_step(node, scope, handle)


def _unclear(node: Mapping, scope: Scope) -> None:
    span = next((entry.key_span for entry in node.entries.values()), node.span)
    guesses = [(key, word) for key in node.entries if (word := nearest(key, (*SPLICED, *GROUPS, *STEP.names)))]
    mend = f"Did you mean {quote(guesses[0][1])} for {quote(guesses[0][0])}?" if guesses else ""
    scope.notes.add(
        faults.UNCLEAR_ITEM,
        span,
        f"This is neither a step (`id`, `who`, `say`) nor one of {listed((*GROUPS, *SPLICED))}.",
        mend or "Add `say:` for a step, or `stage:` for a titled group of steps.",
    )


def _fields(node: Mapping, word: str, section_name: str, scope: Scope) -> Fields:
    entry = node.entries[word]
    section = _SECTIONS[section_name]
    title = f" {quote(entry.value.text)}" if isinstance(entry.value, Scalar) and entry.value.text else ""
    return Fields(node, section, scope.notes, entry.key_span, section.noun + title).check()


_SECTIONS = {
    "stage": STAGE,
    "any-order": ANY_ORDER,
    "lanes": LANES,
    "lane": LANE,
    "choose": CHOOSE,
    "repeat": REPEAT,
    "hold": HOLD,
    "meet": MEET,
}


def _stage(node: Mapping, scope: Scope) -> Item:
    fields = _fields(node, "stage", "stage", scope)
    title = fields.text("stage")
    return Stage(title=title, body=_steps(fields, scope), span=node.entries["stage"].span)


def _any_order(node: Mapping, scope: Scope) -> Item:
    fields = _fields(node, "any-order", "any-order", scope)
    title = fields.text("any-order")
    body = _loose(fields.listing("steps", empty=False), scope)
    return AnyOrder(title=title, body=body, span=node.entries["any-order"].span)


def _steps(fields: Fields, scope: Scope) -> Body:
    return read_body(fields.listing("steps", empty=False), scope)


def _lanes(node: Mapping, scope: Scope) -> Item:
    fields = _fields(node, "lanes", "lanes", scope)
    lanes: list[Lane] = []
    example = "{lane: primer, steps: [...]}"
    for item in fields.listing("of", empty=False):
        found = mapping_of(item, LANE, scope.notes, what="A lane", example=example)
        if found is None:
            continue
        handle = next((entry.key_span for entry in found.entries.values()), found.span)
        inner = Fields(found, LANE, scope.notes, handle).check()
        who = inner.scalar("lane")
        role = "" if who is None else scope.role(who)
        if who is not None and role in [lane.who for lane in lanes]:
            scope.notes.add(
                faults.DUPLICATE_NAME,
                who.span,
                f"{quote(role)} has a lane already; nobody can be in two places at once.",
                "Put both into one lane, or give this one to another role.",
            )
        lanes.append(Lane(who=role, body=_steps(inner, scope), span=found.span))
    return Lanes(title=fields.text("lanes"), lanes=tuple(lanes), span=node.entries["lanes"].span)


def _choose(node: Mapping, scope: Scope) -> Item:
    fields = _fields(node, "choose", "choose", scope)
    item_id = read_id(fields, scope)
    who = fields.scalar("who")
    outcomes: list[Outcome] = []
    for item in fields.listing("outcomes", empty=False):
        outcome = _outcome(item, scope)
        if outcome is None:
            continue
        if outcome.label and outcome.label in [other.label for other in outcomes]:
            scope.notes.add(
                faults.DUPLICATE_NAME, item.span, f"The outcome {quote(outcome.label)} is there twice.", "Rename one."
            )
        outcomes.append(outcome)
    return Choose(
        id=item_id,
        question=words_at(fields, "choose", scope),
        who="" if who is None else scope.role(who),
        outcomes=tuple(outcomes),
        span=node.entries["choose"].span,
    )


def _outcome(node: Node, scope: Scope) -> Outcome | None:
    example = '{label: "no", end: true}'
    found = mapping_of(node, OUTCOME, scope.notes, what="An outcome", example=example)
    if found is None:
        return None
    handle = next((entry.key_span for entry in found.entries.values()), found.span)
    fields = Fields(found, OUTCOME, scope.notes, handle).check()
    ways = [key for key in ("steps", "card", "end") if fields.has(key)]
    if len(ways) > 1:
        scope.notes.add(
            faults.MIXED_ITEM,
            found.entries[ways[1]].key_span,
            f"An outcome leads one way, but here are {listed(ways)}.",
            "Keep one of them.",
        )
    elif not ways:
        scope.notes.add(
            faults.MISSING_KEY,
            handle,
            "The outcome does not say where it leads.",
            "Add `steps: [...]`, `card: ...`, or `end: true`.",
        )
    card = fields.scalar("card")
    when = fields.entry("when")
    return Outcome(
        label=fields.text("label"),
        body=_steps(fields, scope),
        when=None if when is None else read_predicate(when.value, scope),
        card=None if card is None else scope.card(card),
        end=fields.flag("end"),
        span=found.span,
    )


def _repeat(node: Mapping, scope: Scope) -> Item:
    fields = _fields(node, "repeat", "repeat", scope)
    until = fields.entry("until")
    return Repeat(
        id=read_id(fields, scope),
        title=fields.text("repeat"),
        until=ALWAYS if until is None else read_predicate(until.value, scope),
        at_most=fields.whole("at-most", 1, 1, MOST_REPEATS),
        body=_steps(fields, scope),
        span=node.entries["repeat"].span,
    )


def _hold(node: Mapping, scope: Scope) -> Item:
    fields = _fields(node, "hold", "hold", scope)
    agree = []
    for item in fields.listing("agree", empty=False):
        found = scalar_text(item, scope, "A role", "agree: [primer, assistant]")
        if found is not None:
            agree.append(scope.role(found))
    return Hold(
        id=read_id(fields, scope),
        title=words_at(fields, "hold", scope),
        until=read_expectations(fields.one_or_more("until"), scope),
        agree=tuple(agree),
        abort=words_at(fields, "abort", scope),
        span=node.entries["hold"].span,
    )


def _meet(node: Mapping, scope: Scope) -> Item:
    fields = _fields(node, "meet", "meet", scope)
    return Meet(name=fields.text("meet"), span=node.entries["meet"].span)


_READERS: dict[str, Callable[[Mapping, Scope], Item]] = {
    "stage": _stage,
    "any-order": _any_order,
    "lanes": _lanes,
    "choose": _choose,
    "repeat": _repeat,
    "hold": _hold,
    "meet": _meet,
}
