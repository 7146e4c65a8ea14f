"""Minting ids of steps: a letter and three signs, never a position, never one that was used before."""

from __future__ import annotations

from collections.abc import Callable, Collection
from random import SystemRandom

_FIRST = "abcdefghjkmnpqrstvwxyz"
_OTHER = "abcdefghjkmnpqrstvwxyz23456789"
"""Without i, l, o, u and 0, 1, which are taken for each other when somebody reads one aloud."""

Choose = Callable[[str], str]


def mint(used: Collection[str], choose: Choose | None = None) -> str:
    """An id that is not among ``used``. ``choose`` picks one sign of a text; by default by chance."""
    pick: Choose = SystemRandom().choice if choose is None else choose
    for _ in range(10_000):
        found = pick(_FIRST) + "".join(pick(_OTHER) for _ in range(3))
        if found not in used and any(sign.isdigit() for sign in found):
            return found
    raise RuntimeError("no free id was found")
