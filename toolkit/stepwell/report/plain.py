"""Values as plain data and back: what reports are kept as. Reading back is strict, for what is read may be damaged."""

from __future__ import annotations

import types
from dataclasses import fields, is_dataclass
from datetime import date
from decimal import Decimal
from enum import Enum
from functools import cache
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

T = TypeVar("T")

Plain = None | bool | int | float | str | list["Plain"]


def plain(value: object) -> Plain:
    """Dataclasses become lists of their name and all their fields, places in files included; sets are put in order.

    Raises TypeError for anything that has no such form, so that nothing can be left out of a key unnoticed.
    """
    if isinstance(value, Enum):  # before numbers and texts, which some are
        return [type(value).__name__, value.name]
    if value is None or isinstance(value, str | bool | int | float):
        return value
    if isinstance(value, tuple | list):
        return ["", *[plain(each) for each in value]]
    kind: Any = type(value)
    names = _names(kind)
    if names is not None:
        return [kind.__name__, *[plain(getattr(value, name)) for name in names]]
    if isinstance(value, date):
        return ["date", value.isoformat()]
    if isinstance(value, Decimal):
        return ["number", str(value)]
    if isinstance(value, frozenset | set):
        return ["set", *sorted(map(plain, value), key=repr)]
    if isinstance(value, dict):
        return ["dict", *([plain(key), plain(value[key])] for key in sorted(value, key=repr))]
    raise TypeError(f"no plain form for {type(value).__name__}")


@cache
def _names(kind: type) -> tuple[str, ...] | None:
    """The fields of a kind of dataclass; None for any other kind."""
    return tuple(spec.name for spec in fields(kind)) if is_dataclass(kind) else None


def restored(kind: type[T], data: object) -> T:
    """The value of this dataclass that ``plain`` made ``data`` of. Raises ValueError for what it can't have made."""
    value = _restored(kind, data)
    if not isinstance(value, kind):
        raise ValueError(f"not a {kind.__name__}")
    return value


def _restored(kind: Any, data: object) -> Any:
    origin = get_origin(kind)
    if origin in (Union, types.UnionType):
        return _one_of(get_args(kind), data)
    if kind is type(None):
        return _checked(data is None, None)
    if kind in (bool, int, float, str):
        return _checked(type(data) is kind, data)
    if not isinstance(data, list) or not data:
        raise ValueError("a list was expected")
    name, rest = data[0], data[1:]
    if origin is tuple:
        _checked(name == "", None)
        inner = get_args(kind)
        if len(inner) == 2 and inner[1] is Ellipsis:
            return tuple(_restored(inner[0], each) for each in rest)
        return tuple(_restored(each, item) for each, item in zip(inner, rest, strict=True))
    if kind is date:
        _checked(name == "date" and len(rest) == 1 and isinstance(rest[0], str), None)
        return date.fromisoformat(rest[0])
    if not isinstance(kind, type) or name != kind.__name__:
        raise ValueError(f"{name!r} was not expected here")
    if issubclass(kind, Enum):
        _checked(len(rest) == 1 and rest[0] in kind.__members__, None)
        return kind[rest[0]]
    if not is_dataclass(kind):
        raise ValueError(f"{name!r} is not read back")
    hints = _hints(kind)
    return kind(**{name: _restored(hint, item) for (name, hint), item in zip(hints.items(), rest, strict=True)})


@cache
def _hints(kind: type) -> dict[str, Any]:
    found = get_type_hints(kind)
    return {spec.name: found[spec.name] for spec in fields(kind)}


def _one_of(kinds: tuple[Any, ...], data: object) -> Any:
    for kind in kinds:
        try:
            return _restored(kind, data)
        except ValueError:
            continue
    raise ValueError("none of what was expected")


def _checked(fits: bool, value: Any) -> Any:
    if not fits:
        raise ValueError("something else was expected")
    return value
