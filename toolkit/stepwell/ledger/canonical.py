"""The one byte form of a JSON value (RFC 8785), and its SHA-256."""

from __future__ import annotations

import hashlib
import json

import rfc8785

Json = None | bool | int | float | str | list["Json"] | dict[str, "Json"]


class NotCanonicalError(ValueError):
    """A value that has no one form: an integer beyond 2^53, a number that is none, half a character."""


def canonical(value: Json) -> bytes:
    """The canonical form. Raises NotCanonicalError where there is none."""
    try:
        if _plain(value):
            # The same bytes in a third of the time: the two differ in fractions and in the order of keys that are not ASCII.
            return json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode()
        return bytes(rfc8785.dumps(value))
    except (rfc8785.CanonicalizationError, UnicodeEncodeError) as error:
        raise NotCanonicalError(str(error)) from error


def _plain(value: Json) -> bool:
    """Texts, whole numbers within 2^53, truth values and nothing, in lists and under keys of ASCII."""
    kind = type(value)
    if kind is str or value is None or kind is bool:
        return True
    if isinstance(value, dict):
        return kind is dict and all(type(key) is str and key.isascii() and _plain(one) for key, one in value.items())
    if isinstance(value, list):
        return kind is list and all(map(_plain, value))
    return kind is int and isinstance(value, int) and abs(value) < 2**53


def digest(value: Json) -> str:
    """SHA-256 of the canonical form, in hexadecimal."""
    return hashlib.sha256(canonical(value)).hexdigest()
