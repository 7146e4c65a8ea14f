"""A sheet as plain data, as canonical JSON, and its hash."""

from __future__ import annotations

import hashlib
import json
import re
import unicodedata
from dataclasses import fields, is_dataclass, replace
from datetime import date

from stepwell.publish.sheet import Sheet, StatusLine

Plain = None | bool | int | str | list["Plain"] | dict[str, "Plain"]

_CAPITAL = re.compile(r"(?<=[a-z])(?=[A-Z])")


def plain_data(value: object) -> Plain:
    """Dataclasses become mappings with their kind under ``is`` (``step-line``), tuples lists, dates ISO strings."""
    if value is None or isinstance(value, bool | int | str):
        return value
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple | list):
        return [plain_data(item) for item in value]
    if is_dataclass(value) and not isinstance(value, type):
        data: dict[str, Plain] = {"is": _CAPITAL.sub("-", type(value).__name__).lower()}
        for spec in fields(value):
            data[spec.name] = plain_data(getattr(value, spec.name))
        return data
    raise TypeError(f"no plain form for {type(value).__name__}")


def canonical_json(value: object) -> bytes:
    """The one JSON form of a value: sorted keys, no spaces, UTF-8."""
    text = json.dumps(plain_data(value), ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False)
    return text.encode()


def content_hash(sheet: Sheet) -> str:
    """SHA-256 (hexadecimal) of what the sheet tells people to do: of ``content_bytes``."""
    return hashlib.sha256(content_bytes(sheet)).hexdigest()


def content_bytes(sheet: Sheet) -> bytes:
    """What the sheet tells people to do, as canonical JSON.

    What changes without a change of content is left out: status, release, the rig's inspection date, the day of the
    build. So the hash that a committee agreed to is still the hash of the released card. Fields at their default are
    left out too, so that a later tool whose sheets can say more has the same hash for a card that says the same. Texts
    are in Unicode's form NFC, so that it does not matter on which computer a file was saved.
    """
    bare = replace(
        sheet,
        hash="",
        status=StatusLine(draft=True, reasons=()),
        release=None,
        as_of=date.min,
        rig=replace(sheet.rig, inspected=None),
    )
    return json.dumps(_told(bare), ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode()


def _told(value: object) -> Plain:
    """As ``plain_data``, without the fields that are at their default."""
    if isinstance(value, str):
        return unicodedata.normalize("NFC", value)
    if isinstance(value, tuple | list):
        return [_told(item) for item in value]
    if is_dataclass(value) and not isinstance(value, type):
        data: dict[str, Plain] = {"is": _CAPITAL.sub("-", type(value).__name__).lower()}
        for spec in fields(value):
            held = getattr(value, spec.name)
            if held != spec.default:
                data[spec.name] = _told(held)
        return data
    return plain_data(value)
