"""What every formula of this package declares about itself, and what it answers where it must not be used."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Formula:
    """One formula as documented: shown by the site beside its calculator, and by ``stepwell explain``.

    ``mark`` says where it comes from: physics, from memory, seen, common practice, definition.
    ``example`` is the worked example that the tests recompute.
    """

    name: str
    title: str
    equation: str
    source: str
    mark: str
    validity: str
    example: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """The plain result of a sum: ``value`` in ``unit``."""

    value: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """No figure, because the formula does not hold there; ``reynolds`` where that is the reason."""

    reason: str
    reynolds: float | None = None
