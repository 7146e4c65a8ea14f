"""A number of the unit that changes, changes every step and rule that uses it: that is one edit, with what it reaches."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from typing import Any

from stepwell.compare.edits import Edit, Sort
from stepwell.compare.ops import SetField
from stepwell.model.quantity import Quantity

_PREFIX = "number:"


def absorb(edits: tuple[Edit, ...]) -> tuple[Edit, ...]:
    """Put edits that follow wholly from a changed number into that number's edit; nothing is lost on the way."""
    numbers = [edit for edit in edits if edit.item.startswith(_PREFIX) and edit.field == "value" and edit.ops]
    swaps = {index: _swap_of(edit) for index, edit in enumerate(edits) if edit in numbers}
    taken: dict[int, list[Edit]] = {index: [] for index in swaps}
    kept: list[int] = []
    for index, edit in enumerate(edits):
        owners = () if index in swaps else _owners(edit, swaps)
        for owner in owners[:1]:
            taken[owner].append(edit)
        if not owners:
            kept.append(index)
    return tuple(_with(edits[index], taken.get(index, [])) for index in kept)


def _swap_of(edit: Edit) -> tuple[Quantity, Quantity]:
    op = next(op for _, op in edit.ops if isinstance(op, SetField))
    return op.old, op.new


def _owners(edit: Edit, swaps: Mapping[int, tuple[Quantity, Quantity]]) -> tuple[int, ...]:
    """Indices of the numbers from which alone an edit follows."""
    if edit.sort is not Sort.CHANGED or len(edit.ops) != 1 or not isinstance(edit.ops[0][1], SetField):
        return ()
    op = edit.ops[0][1]
    return tuple(index for index, (old, new) in swaps.items() if _swapped(op.old, old, new) == op.new)


def _swapped(value: Any, old: Quantity, new: Quantity) -> Any:
    """The value with one quantity in the place of another, wherever it stands."""
    if value == old:
        return new
    if isinstance(value, tuple):
        return tuple(_swapped(one, old, new) for one in value)
    if is_dataclass(value) and not isinstance(value, type | Quantity):
        changed = {f.name: _swapped(getattr(value, f.name), old, new) for f in fields(value) if f.compare}
        return replace(value, **changed)
    return value


def _with(edit: Edit, reached: list[Edit]) -> Edit:
    if not reached:
        return edit
    by_document: dict[str, list[str]] = {}
    for one in reached:
        by_document.setdefault(one.document, []).append(one.subject.partition(" “")[0] or one.field)
    places = tuple(f"{document}: {', '.join(dict.fromkeys(some))}" for document, some in by_document.items())
    return replace(
        edit,
        reaches=places,
        weaker=tuple(dict.fromkeys((*edit.weaker, *(why for one in reached for why in one.weaker)))),
        steps=tuple(dict.fromkeys((*edit.steps, *(step for one in reached for step in one.steps)))),
        ops=(*edit.ops, *(op for one in reached for op in one.ops)),
    )
