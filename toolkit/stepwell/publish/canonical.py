"""A sheet as plain data for what lays it out, and what sheet and model say as canonical bytes."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from dataclasses import Field, dataclass, fields, is_dataclass, replace
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

from stepwell.ledger.canonical import Json, canonical
from stepwell.publish.sheet import Sheet, StatusLine

Plain = Json

_CAPITAL = re.compile(r"(?<=[a-z])(?=[A-Z])")


def plain_data(value: object) -> Plain:
    """Dataclasses become mappings with their kind under ``is`` (``step-line``), tuples lists, dates ISO strings."""
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, tuple | list):
        return [plain_data(item) for item in value]
    kind: Any = type(value)
    shape = _shape(kind)
    if shape is not None:
        data: dict[str, Plain] = {"is": shape.kind}
        for spec in shape.fields:
            data[spec.name] = plain_data(getattr(value, spec.name))
        return data
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"no plain form for {type(value).__name__}")


def content_hash(sheet: Sheet) -> str:
    """SHA-256 (hexadecimal) of what the sheet tells people to do: of ``content_bytes``."""
    return hashlib.sha256(content_bytes(sheet)).hexdigest()


def content_bytes(sheet: Sheet) -> bytes:
    """What the sheet tells people to do, as canonical JSON.

    What changes without a change of content is left out: status, release, the rig's inspection date, the day of the
    build. So the hash that a committee agreed to is still the hash of the released card.
    """
    bare = replace(
        sheet,
        hash="",
        status=StatusLine(draft=True, reasons=()),
        release=None,
        as_of=date.min,
        rig=replace(sheet.rig, inspected=None),
    )
    return content(bare)


def content(value: object) -> bytes:
    """The canonical bytes (RFC 8785) of what a value of the model or a sheet says.

    Where in a file it was read is left out (fields that do not count in comparisons). Fields at their default are left
    out too, so that a later tool whose values can say more has the same bytes for what says the same. Texts are in
    Unicode's form NFC, so that it does not matter on which computer a file was saved.
    """
    return canonical(_told(value))


def _told(value: object) -> Plain:
    if value is None or isinstance(value, bool | int):
        return value
    if isinstance(value, str | date | Decimal):
        return unicodedata.normalize("NFC", str(value))
    if isinstance(value, tuple | list):
        return [_told(item) for item in value]
    if isinstance(value, frozenset):
        return [*sorted(str(item) for item in value)]
    if isinstance(value, dict):
        return {str(key): _told(held) for key, held in value.items()}
    kind: Any = type(value)
    shape = _shape(kind)
    if shape is not None:
        data: dict[str, Plain] = {"is": shape.kind}
        for spec in shape.fields:
            if not spec.compare:
                continue
            held = getattr(value, spec.name)
            if held != spec.default:
                data[spec.name] = _told(held)
        return data
    raise TypeError(f"no plain form for {type(value).__name__}")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shape:
    """What all values of a kind of dataclass have in common: ``kind`` as in ``step-line``."""

    kind: str
    fields: tuple[Field[Any], ...]


@cache
def _shape(kind: type) -> _Shape | None:
    """None for what is no dataclass."""
    if not is_dataclass(kind):
        return None
    return _Shape(kind=_CAPITAL.sub("-", kind.__name__).lower(), fields=fields(kind))
