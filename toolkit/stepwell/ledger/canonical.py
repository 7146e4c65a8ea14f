"""The one byte form of a JSON value (RFC 8785), and its SHA-256."""

from __future__ import annotations

import hashlib

import rfc8785

Json = None | bool | int | float | str | list["Json"] | dict[str, "Json"]


class NotCanonicalError(ValueError):
    """A value that has no one form: an integer beyond 2^53, a number that is none, half a character."""


def canonical(value: Json) -> bytes:
    """The canonical form. Raises NotCanonicalError where there is none."""
    try:
        return bytes(rfc8785.dumps(value))
    except (rfc8785.CanonicalizationError, UnicodeEncodeError) as error:
        raise NotCanonicalError(str(error)) from error


def digest(value: Json) -> str:
    """SHA-256 of the canonical form, in hexadecimal."""
    return hashlib.sha256(canonical(value)).hexdigest()
