"""Expectations and what to do when they are not met."""

from __future__ import annotations

from stepwell.model.procedure import Condition, Expectation, Otherwise, Reading, Sight
from stepwell.quantities.units import UNITS, dimension_of
from stepwell.source import faults
from stepwell.source.as_written import as_written
from stepwell.source.fields import Fields, described
from stepwell.source.near import quote
from stepwell.source.nodes import Entry, Mapping, Node, Scalar
from stepwell.source.read_predicate import Asked, read_predicate
from stepwell.source.read_quantity import in_order, note_reversed, read_quantity
from stepwell.source.read_text import read_words, words_at
from stepwell.source.scope import Scope, StepUse
from stepwell.source.sections import READING, SIGHT, TO_CARD, TO_STEP


def read_expectations(nodes: list[Node], scope: Scope) -> tuple[Expectation, ...]:
    """Every expectation of an ``expect`` or of a hold."""
    found = (read_expectation(node, scope) for node in nodes)
    return tuple(expectation for expectation in found if expectation is not None)


def read_expectation(node: Node, scope: Scope) -> Expectation | None:
    """A reading, something seen, or a fact of the circuit that a person can tell."""
    if not isinstance(node, Mapping):
        scope.notes.add(
            faults.WRONG_TYPE,
            node.span,
            f"An expectation is needed here, but here is {described(node)}.",
            f"Write `{{see: {node.text if isinstance(node, Scalar) and node.text else 'no drops'}}}` for what is seen, "
            "or a fact such as `{shut: vent}`.",
        )
        return None
    if "reading" in node.entries or "at-least" in node.entries or "at-most" in node.entries:
        return _reading(node, scope)
    if "see" in node.entries:
        fields = Fields(node, SIGHT, scope.notes, node.entries["see"].key_span).check()
        return Sight(words=words_at(fields, "see", scope), span=node.span)
    return Condition(predicate=read_predicate(node, scope, Asked.SEEN), span=node.span)


def _reading(node: Mapping, scope: Scope) -> Reading | None:
    handle = next(iter(node.entries.values())).key_span
    fields = Fields(node, READING, scope.notes, handle).check()
    part = fields.scalar("reading")
    ends = []
    limits = {key: entry for key in ("at-least", "at-most") if (entry := fields.entry(key)) is not None}
    units = [unit for entry in limits.values() if (unit := as_written(entry.value).partition(" ")[2]) in UNITS]
    for key in ("at-least", "at-most"):
        value = limits[key].value if key in limits else None
        unit = units[0] if units else ""
        ends.append(None if value is None else read_quantity(value, None, scope, quote(key), named=True, unit=unit))
    if part is None:
        return None
    scope.known_part(part)
    if not fields.has("at-least") and not fields.has("at-most"):
        scope.notes.add(
            faults.MISSING_KEY,
            node.entries["reading"].key_span,
            "The reading has neither `at-least` nor `at-most`.",
            "Add the limit, for example `at-least: 150 bar`; if any value will do, write `see:` instead.",
        )
    least, most = ends
    if least is not None and most is not None:
        if dimension_of(least.unit) != dimension_of(most.unit):
            scope.notes.add(
                faults.WRONG_DIMENSION,
                node.entries["at-most"].value.span,
                f"{least} and {most} do not measure the same thing.",
                "Give both ends in the same unit.",
            )
            return None
        if not in_order(least, most):
            note_reversed(node, scope, "The reading", least, most, f"at-least: {most}, at-most: {least}")
    return Reading(part=part.text, at_least=least, at_most=most, span=node.span)


def read_otherwise(entry: Entry, scope: Scope, by: str) -> Otherwise | None:
    """``if-not``: words, or the way to a step or a card."""
    node = entry.value
    if isinstance(node, Scalar) and isinstance(node.value, str) and node.value.strip():
        return Otherwise(words=read_words(node, scope), span=node.span)
    if isinstance(node, Mapping) and ("step" in node.entries or "card" in node.entries):
        key = "step" if "step" in node.entries else "card"
        section = TO_STEP if key == "step" else TO_CARD
        fields = Fields(node, section, scope.notes, entry.key_span).check()
        target = fields.scalar(key)
        if target is None:
            return None
        if key == "card":
            return Otherwise(card=scope.card(target), span=node.span)
        scope.uses.append(StepUse(id=target.text, span=target.span, by=by, suffix=scope.suffix))
        return Otherwise(step=target.text, span=node.span)
    scope.notes.add(
        faults.WRONG_TYPE,
        node.span,
        f"`if-not` takes a text, `{{step: ...}}` or `{{card: ...}}`, but here is {described(node)}.",
        "Write for example `if-not: Call for help.` or `if-not: {card: air-in-circuit}`.",
    )
    return None
