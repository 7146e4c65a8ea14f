"""Changes that nobody would think of: any leaf of the model set to something else, items lost, doubled, moved, wrapped."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from enum import Enum
from typing import Any

from stepwell.model.procedure import AnyOrder, Stage
from stepwell.model.quantity import Quantity
from stepwell.model.workspace import Workspace

SKIPPED = ("path", "root", "span", "translations")
"""Translations are compared as the files in which they stand: ``test_files`` changes those."""
Path = tuple[str | int, ...]


def leaves(value: Any, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Every value that is no dataclass and no filled tuple, with the way to it."""
    if is_dataclass(value) and not isinstance(value, type | Quantity):
        for field in fields(value):
            if field.compare and field.name not in SKIPPED:
                yield from leaves(getattr(value, field.name), (*path, field.name))
    elif isinstance(value, tuple) and value:
        for index, one in enumerate(value):
            yield from leaves(one, (*path, index))
    else:
        yield path, value


def lists(value: Any, path: Path = ()) -> Iterator[tuple[Path, tuple[Any, ...]]]:
    """Every filled tuple of dataclasses or words, with the way to it."""
    if is_dataclass(value) and not isinstance(value, type | Quantity):
        for field in fields(value):
            if field.compare and field.name not in SKIPPED:
                yield from lists(getattr(value, field.name), (*path, field.name))
    elif isinstance(value, tuple) and value:
        yield path, value
        for index, one in enumerate(value):
            yield from lists(one, (*path, index))


def put(value: Any, path: Path, new: Any) -> Any:
    """The value with ``new`` at the end of the way."""
    if not path:
        return new
    head, *rest = path
    if isinstance(head, int):
        return (*value[:head], put(value[head], tuple(rest), new), *value[head + 1 :])
    return replace(value, **{head: put(getattr(value, head), tuple(rest), new)})


def other(value: Any, chance: random.Random) -> Any:
    """A value of the same type that is not the same."""
    match value:
        case bool():
            return not value
        case Enum():
            return chance.choice([one for one in type(value) if one is not value])
        case Quantity(value=number, unit=unit):
            return Quantity(number + Decimal(chance.choice(["1", "0.5", "-0.1"])), unit)
        case int():
            return value + chance.choice([1, -1])
        case date():
            return value + timedelta(days=1)
        case str():
            choices = [value + " more", value[: len(value) // 2], "other words", value.upper() + "X"]
            return chance.choice([one for one in choices if one != value])
        case None | ():
            return value
    raise TypeError(type(value).__name__)


def mutated(workspace: Workspace, chance: random.Random) -> Workspace:
    """The workspace with one thing changed, as a rule; sometimes the change comes to nothing."""
    if chance.random() < 0.5:
        path, value = chance.choice(list(leaves(workspace)))
        return put(workspace, path, other(value, chance))  # type: ignore[no-any-return]
    path, value = chance.choice([found for found in lists(workspace) if not _ranges(found)])
    return put(workspace, path, _shaken(value, chance))  # type: ignore[no-any-return]


def _ranges(found: tuple[Path, tuple[Any, ...]]) -> bool:
    """Pairs such as (name, value), whose length is fixed."""
    path, value = found
    fixed = isinstance(value[0], str) and len(value) == 2 and isinstance(path[-1], int)
    return fixed or path[-1] in ("takes", "first", "then")


def _shaken(value: tuple[Any, ...], chance: random.Random) -> tuple[Any, ...]:
    items = list(value)
    at = chance.randrange(len(items))
    match chance.choice(("lose", "double", "move", "swap", "wrap", "turn")):
        case "lose":
            items.pop(at)
        case "double":
            items.insert(chance.randrange(len(items) + 1), items[at])
        case "move":
            items.insert(chance.randrange(len(items)), items.pop(at))
        case "swap":
            there = chance.randrange(len(items))
            items[at], items[there] = items[there], items[at]
        case "wrap" if hasattr(items[at], "say") or (hasattr(items[at], "body") and not hasattr(items[at], "rig")):
            items[at] = chance.choice((Stage, AnyOrder))(title="A new title", body=(items[at],))
        case _:
            items.reverse()
    return tuple(items)


def dump(value: Any) -> Any:
    """A canonical form that knows nothing of the trees that are compared."""
    if is_dataclass(value) and not isinstance(value, type | Quantity):
        named = [(f.name, getattr(value, f.name)) for f in fields(value) if f.compare and f.name not in SKIPPED]
        return (type(value).__name__, tuple((name, dump(one)) for name, one in named))
    if isinstance(value, tuple):
        return tuple(dump(one) for one in value)
    return (type(value).__name__, str(value))
