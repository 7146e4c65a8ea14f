"""The id of a step that a repair adds: as opaque as a minted one, and the same whenever the same repair is found."""

from __future__ import annotations

from collections.abc import Collection
from hashlib import sha256

_FIRST = "abcdefghjkmnpqrstvwxyz"
_OTHER = "abcdefghjkmnpqrstvwxyz23456789"
"""Without signs that are taken for each other when somebody reads one aloud."""


def fresh_id(used: Collection[str], about: tuple[str, ...]) -> str:
    """An id that is not among ``used``, made from what the step is about."""
    for number in range(10_000):
        signs = sha256("\n".join((*about, str(number))).encode()).digest()
        found = _FIRST[signs[0] % len(_FIRST)] + "".join(_OTHER[sign % len(_OTHER)] for sign in signs[1:4])
        if found not in used and any(sign.isdigit() for sign in found):
            return found
    raise RuntimeError("no free id was found")
