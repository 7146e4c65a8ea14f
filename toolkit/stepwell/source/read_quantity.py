"""A quantity in a file: written out, or the name of one of the unit's numbers."""

from __future__ import annotations

import re
from decimal import Decimal

from stepwell.model.quantity import Quantity
from stepwell.quantities.units import dimension_of, to
from stepwell.source import faults
from stepwell.source.amounts import Misread, example_of, read_amount
from stepwell.source.fields import described, is_name
from stepwell.source.near import a, did_you_mean, quote
from stepwell.source.nodes import Node, Scalar
from stepwell.source.scope import Scope

_RANGE = re.compile(r"\s*(?:\.\.+|…|–|—| - | to )\s*")


def read_quantity(
    node: Node, dimension: str | None, scope: Scope, what: str, *, named: bool = False, unit: str = ""
) -> Quantity | None:
    """The quantity of a node; ``named`` allows the name of a number. ``what`` is how messages call it, quoted.

    ``unit`` is the one that is likely meant where none is written.
    """
    if (
        dimension == "count"
        and isinstance(node, Scalar)
        and isinstance(node.value, int)
        and not isinstance(node.value, bool)
    ):
        return Quantity(Decimal(node.value), "times")
    if not isinstance(node, Scalar) or node.value is None or isinstance(node.value, bool):
        scope.notes.add(
            faults.WRONG_TYPE,
            node.span,
            f"{what} takes a quantity, but here is {described(node)}.",
            f"Write for example `{example_of(dimension)}`.",
        )
        return None
    if named and is_name(node.text):
        return _number(node, dimension, scope)
    found = read_amount(node.text, dimension, unit)
    if isinstance(found, Misread):
        kind = faults.WRONG_DIMENSION if found.dimension else faults.NOT_A_QUANTITY
        scope.notes.add(kind, node.span, found.message, found.mend)
        return None
    return found


def _number(node: Scalar, dimension: str | None, scope: Scope) -> Quantity | None:
    if scope.numbers is None:
        return None
    found = scope.numbers.get(node.text)
    if found is None:
        scope.notes.add(
            faults.UNKNOWN_NUMBER,
            node.span,
            f"The unit sets no number {quote(node.text)}.",
            did_you_mean(node.text, scope.numbers, what="Its numbers are") or "Add it to `numbers` in unit.yaml.",
        )
        return None
    has = dimension_of(found.unit)
    if dimension is not None and has != dimension:
        scope.notes.add(
            faults.WRONG_DIMENSION,
            node.span,
            f"{quote(node.text)} is {found}, {a(has or 'quantity')}; {a(dimension)} is needed here.",
            f"Write for example `{example_of(dimension)}`.",
        )
        return None
    return found


def positive(found: Quantity | None, node: Node, scope: Scope, what: str) -> Quantity | None:
    """The quantity if it is above zero, else None with a note."""
    if found is not None and found.value <= 0:
        scope.notes.add(
            faults.OUT_OF_RANGE, node.span, f"{what} is {found}; it must be above zero.", "Write a number above zero."
        )
        return None
    return found


def read_times(node: Node, scope: Scope, what: str) -> tuple[Quantity, Quantity] | None:
    """``30 s .. 2 min``, or one time that is both."""
    if not isinstance(node, Scalar) or not isinstance(node.value, str):
        found = positive(read_quantity(node, "time", scope, what), node, scope, what)
        return None if found is None else (found, found)
    ends = _RANGE.split(node.text, maxsplit=1)
    if len(ends) == 2 and re.fullmatch(r"[0-9.]+", ends[0]):
        ends[0] = f"{ends[0]} {ends[1].strip().partition(' ')[2]}"
    pair = [
        positive(
            read_quantity(Scalar(text=end, value=end, plain=True, span=node.span), "time", scope, what), node, scope, what
        )
        for end in ends
    ]
    least, most = pair[0], pair[-1]
    if least is None or most is None:
        return None
    if not in_order(least, most):
        note_reversed(node, scope, what, least, most, f"{most} .. {least}")
        return None
    return least, most


def in_order(least: Quantity, most: Quantity) -> bool:
    """True if the first is not larger than the second, both of one dimension."""
    return to(least, most.unit) <= float(most.value) * (1 + 1e-12) + 1e-15


def note_reversed(node: Node, scope: Scope, what: str, least: Quantity, most: Quantity, turned: str) -> None:
    """Note a range that runs backwards; ``turned`` is the range as it is likely meant."""
    scope.notes.add(
        faults.RANGE_REVERSED,
        node.span,
        f"{what} runs from {least} to {most}, which is backwards.",
        f"Write the smaller one first: `{turned}`.",
    )
