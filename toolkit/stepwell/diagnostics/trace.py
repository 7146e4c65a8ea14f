"""A permitted order told step by step: who does what, and what the circuit looks like then."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.diagnostics.span import Span


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceLine:
    """One action of a run. ``changes`` are short English sentences on what the circuit did because of it."""

    step: str
    who: str
    does: str
    changes: tuple[str, ...] = ()
    mark: str = ""
    """``trap`` where the cause was set, ``spring`` where the hazard is met, else empty."""
    span: Span | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """The run that reaches a finding. ``shortest`` is False where that has not been shown.

    ``around`` are the states of the circuit before the last action and at the finding, as numbers that only the rig's
    layout can read; ``parts`` are ids of the parts that the finding is about.
    """

    lines: tuple[TraceLine, ...]
    circuit: tuple[str, ...] = ()
    """The state of the circuit at the moment of the finding, one short sentence per thing that matters."""
    shortest: bool = True
    around: tuple[tuple[int, ...], ...] = ()
    parts: tuple[str, ...] = ()
