"""Items that depend on the rig: ``for-each`` part of a sort, and ``if-rig`` has what it asks for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from stepwell.model.predicate import Selector
from stepwell.model.procedure import Body, Stage
from stepwell.model.rig import Part, Rig
from stepwell.source import faults
from stepwell.source.fields import Fields, described
from stepwell.source.near import did_you_mean, listed, quote
from stepwell.source.nodes import Entry, Listing, Mapping, Node, Scalar
from stepwell.source.put_in import ids_in, put_in, size
from stepwell.source.read_predicate import bind, read_selector
from stepwell.source.scope import Scope
from stepwell.source.sections import SELECTOR
from stepwell.source.short_sections import FOR_EACH, IF_RIG

Reader = Callable[[list[Node], Scope], Body]
MOST_VALUES = 20_000
"""Keys and values that one ``for-each`` may stand for."""


def read_for_each(node: Mapping, scope: Scope, read: Reader, *, loose: bool) -> Body:
    """The steps once for every part, in the order of the rig. ``loose``: in any-order, so each part's stay in sequence."""
    head = node.entries["for-each"]
    fields = Fields(node, FOR_EACH, scope.notes, head.key_span).check()
    steps = fields.listing("steps", empty=False)
    letter = _letter(fields, scope)
    if letter is None or scope.whole is None:
        _pass_over(steps, scope)
        return ()
    selector = read_selector(letter, scope)
    outer = dict(scope.variables)
    bind(letter.key, letter.key_span, selector, scope)
    parts = [part for part in scope.whole.parts if _chosen(part, selector)]
    if not parts:
        scope.notes.add(
            faults.EMPTY_SELECTION,
            letter.value.span,
            f"The rig {quote(scope.whole.id)} has no part that {quote(letter.key)} could stand for.",
            "Choose another kind or trait, or put it under `if-rig` if only some rigs have such parts.",
        )
    elif size(steps) * len(parts) > MOST_VALUES:
        scope.notes.add(
            faults.OUT_OF_RANGE,
            head.key_span,
            f"This `for-each` stands for too many steps: {len(parts)} times those in it.",
            "Choose fewer parts.",
        )
        parts = []
    if not parts:
        _pass_over(steps, scope)
    found = _rounds(steps, letter.key, parts, scope, read)
    scope.variables = outer
    if not loose:
        return tuple(item for _, body in found for item in body)
    return tuple(
        body[0] if len(body) == 1 else Stage(title=part.label, body=body, span=head.span) for part, body in found if body
    )


def _letter(fields: Fields, scope: Scope) -> Entry | None:
    over = fields.mapping("for-each")
    if over is None:
        return None
    if scope.suffix:
        message = "A `for-each` stands within another, so its steps would have no ids of their own."
        scope.notes.add(faults.MIXED_ITEM, fields.handle, message, "Write one of them out.")
        return None
    if len(over.entries) != 1:
        mend = "Write for example `for-each: {s: {kind: pressure-sensor}}`."
        scope.notes.add(faults.MIXED_ITEM, over.span, "`for-each` binds one letter.", mend)
        return None
    return next(iter(over.entries.values()))


def _chosen(part: Part, selector: Selector) -> bool:
    kind = selector.kind in (None, part.kind)
    return kind and set(selector.traits) <= set(part.traits) and not set(selector.without) & set(part.traits)


def _rounds(steps: list[Node], letter: str, parts: list[Part], scope: Scope, read: Reader) -> list[tuple[Part, Body]]:
    """What is wrong in every round alike is told once."""
    told: set[tuple[str, object]] = set()
    found: list[tuple[Part, Body]] = []
    findings = scope.notes.findings
    for part in parts:
        scope.suffix = f"-{part.id}"
        before = len(findings)
        try:
            found.append((part, read([put_in(step, letter, part) for step in steps], scope)))
        finally:
            scope.suffix = ""
            new = [finding for finding in findings[before:] if (finding.rule, finding.span) not in told]
            if len(found) > 1:
                new = [replace(one, message=f"Where {quote(letter)} is {quote(part.id)}: {one.message}") for one in new]
            findings[before:] = new
        told.update((finding.rule, finding.span) for finding in new)
    return found


def _pass_over(steps: list[Node], scope: Scope) -> None:
    """Remember the ids in what is not read, so that nothing is said about those who refer to them."""
    for node in ids_in(steps):
        scope.absent.setdefault(node.text, node.span)


def read_if_rig(node: Mapping, scope: Scope, read: Reader) -> Body:
    """The ``steps`` if the rig has what is asked for, else those ``otherwise``; the others are read and left out."""
    head = node.entries["if-rig"]
    fields = Fields(node, IF_RIG, scope.notes, head.key_span).check()
    so = _holds(head.value, scope)
    steps, others = fields.listing("steps", empty=False), fields.listing("otherwise", empty=False)
    if scope.whole is None or so is None:
        _pass_over([*steps, *others], scope)
        return ()
    chosen, rest = (steps, others) if so else (others, steps)
    _leave_out(rest, scope, read)
    return read(chosen, scope)


def _leave_out(steps: list[Node], scope: Scope, read: Reader) -> None:
    """Read what the rig does not need for its faults of form; parts and what they can be are another rig's matter."""
    kept = scope.whole, scope.parts, list(scope.uses), dict(scope.ids)
    scope.whole, scope.parts = None, None
    try:
        read(steps, scope)
    finally:
        gone = {name: span for name, span in scope.ids.items() if name not in kept[3]}
        scope.whole, scope.parts, scope.uses, scope.ids = kept
    scope.absent.update(gone)


def _holds(node: Node, scope: Scope) -> bool | None:
    """Whether the rig meets a condition on its parts; None if that can't be known, with a note where the file is wrong."""
    if not isinstance(node, Mapping) or not node.entries:
        _unclear(node, scope)
        return None
    keys = set(node.entries)
    if keys <= {"part"}:
        return _has_part(node.entries["part"].value, scope)
    if keys <= {"not"}:
        inner = _holds(node.entries["not"].value, scope)
        return None if inner is None else not inner
    if keys <= {"all"} or keys <= {"any"}:
        (entry,) = node.entries.values()
        if not isinstance(entry.value, Listing) or not entry.value.items:
            _unclear(entry.value, scope)
            return None
        found = [_holds(item, scope) for item in entry.value.items]
        if None in found:
            return None
        return all(found) if entry.key == "all" else any(found)
    if odd := next((entry for entry in node.entries.values() if SELECTOR.key(entry.key) is None), None):
        _note_odd(odd, node, scope)
        return None
    before = len(scope.notes.findings)
    selector = read_selector(Entry("if-rig", node.span, node), scope)
    if scope.whole is None or len(scope.notes.findings) > before:
        return None
    return any(_chosen(part, selector) for part in scope.whole.parts)


def _note_odd(odd: Entry, node: Mapping, scope: Scope) -> None:
    words = ("part", "kind", "trait", "traits", "without", "not", "all", "any")
    if odd.key in words:
        message = f"`if-rig` asks one thing, but here are {listed(node.entries)}."
        scope.notes.add(faults.MIXED_ITEM, odd.key_span, message, "Put them under `all: [...]`, each in braces.")
        return
    mend = did_you_mean(odd.key, words, what="It can ask for")
    scope.notes.add(faults.UNKNOWN_KEY, odd.key_span, f"{quote(odd.key)} means nothing in `if-rig`.", mend)


def _unclear(node: Node, scope: Scope) -> None:
    scope.notes.add(
        faults.WRONG_TYPE,
        node.span,
        f"`if-rig` asks what the rig has, but here is {described(node)}.",
        "Write for example `if-rig: {kind: check-valve}`, `{part: prime-bag}` or `{not: {trait: fluid-line}}`.",
    )


def _has_part(node: Node, scope: Scope) -> bool | None:
    if not isinstance(node, Scalar) or not isinstance(node.value, str) or not node.value:
        _unclear(node, scope)
        return None
    if scope.everywhere is not None and node.text not in scope.everywhere:
        scope.notes.add(
            faults.UNKNOWN_PART,
            node.span,
            f"No rig of the unit has a part {quote(node.text)}.",
            did_you_mean(node.text, sorted(scope.everywhere), what="There are", most=8),
        )
        return None
    rig: Rig | None = scope.whole
    return None if rig is None else rig.part(node.text) is not None
