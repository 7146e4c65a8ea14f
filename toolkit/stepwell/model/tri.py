"""Three-valued truth: yes, no, may be (Kleene's strong logic)."""

from __future__ import annotations

from collections.abc import Iterable
from enum import IntEnum


class Tri(IntEnum):
    """Truth of a fact. A hazard fires unless it is NO; a precondition, hold or expectation counts only on YES."""

    NO = 0
    MAYBE = 1
    YES = 2


def tri(value: bool) -> Tri:
    """YES or NO for a plain truth value."""
    return Tri.YES if value else Tri.NO


def negation(value: Tri) -> Tri:
    """Not."""
    return Tri(2 - value)


def conjunction(values: Iterable[Tri]) -> Tri:
    """And; of nothing it is YES."""
    return min(values, default=Tri.YES)


def disjunction(values: Iterable[Tri]) -> Tri:
    """Or; of nothing it is NO."""
    return max(values, default=Tri.NO)
