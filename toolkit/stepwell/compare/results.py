"""A comparison as values: the edits, and what they mean."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from stepwell.compare.edits import Edit
from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity


@dataclass(frozen=True, slots=True, kw_only=True)
class VerdictChange:
    """The verdict on one rule for one procedure; None where there was none (a new procedure, a new rule).

    ``worse``: no longer held, newly violated, or no longer decided.
    """

    procedure: str
    rule: str
    code: str
    title: str
    severity: Severity
    old: str | None
    new: str | None
    worse: bool


class Turn(StrEnum):
    """How the order of two steps changed."""

    REVERSED = "reversed"
    """One came always first; now the other does."""
    FREED = "freed"
    """One came always first; now either may."""
    BOUND = "bound"
    """Either might come first; now one always does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderChange:
    """``first`` before ``then`` is the order that was fixed (for ``bound``: that is fixed now). Old ids.

    ``parts`` are what both touch, ``critical``: both are critical by the slips of the new version.
    """

    procedure: str
    turn: Turn
    first: str
    then: str
    first_name: str
    then_name: str
    parts: tuple[str, ...] = ()
    critical: bool = False

    @property
    def matters(self) -> bool:
        """Whether it is shown one by one: the two touch one part, or both are critical."""
        return bool(self.parts) or self.critical


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipChange:
    """A slip whose outcome changed. ``step`` is the new id where there is one. ``worse``: it is now silent or undecided."""

    procedure: str
    step: str
    step_name: str
    sort: str
    old: str | None
    new: str | None
    rule: str = ""
    fatal: bool = False
    worse: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """A figure of a procedure or rig before and after: orders, time, people, volume, fatal slips that nothing catches."""

    about: str
    what: str
    old: str
    new: str
    worse: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """A card whose printed content changes: old prints must be taken down. ``new`` version None: it is withdrawn."""

    procedure: str
    title: str
    old: str | None
    new: str | None
    same_version: bool = False
    hangs: tuple[str, ...] = ()
    """Labels of the places where it hangs, on either side."""
    language: str = ""
    """The language of the print where it is not the one that the card is written in."""
    also: tuple[str, ...] = ()
    """The other languages in which nothing of it is missing: what is agreed to, and released with it."""
    drafts: tuple[str, ...] = ()
    """The languages in which some of it is missing or not confirmed, so that it stays a draft in them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """What the edits lead to. ``compared`` are the procedures whose verdicts were looked at on both sides."""

    verdicts: tuple[VerdictChange, ...] = ()
    findings_new: tuple[Finding, ...] = ()
    findings_cured: tuple[Finding, ...] = ()
    orders: tuple[OrderChange, ...] = ()
    slips: tuple[SlipChange, ...] = ()
    shifts: tuple[Shift, ...] = ()
    compared: tuple[str, ...] = ()
    slips_compared: bool = False
    slips_of: tuple[str, ...] = ()
    """Procedures whose slips were searched; those of the others are the same, for nothing that they hang on changed."""
    unsafe: tuple[str, ...] = ()
    """Procedures that now violate a rule by themselves, so that their slips could not be compared."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """``edits`` in safety order, every weakening first. ``undisclosed`` should be empty: see ``between.undisclosed``."""

    old: str
    new: str
    as_of: date
    edits: tuple[Edit, ...]
    meaning: Meaning
    cards: tuple[Card, ...] = ()
    undisclosed: tuple[str, ...] = ()
    unread: tuple[str, ...] = field(default=())
    """Files of either side that could not be read, so that nothing can be said about them."""
    titles: tuple[tuple[str, str], ...] = ()
    """Id and title of every procedure and rig, as on the new side where there is one."""
    rules: tuple[str, str] = ("", "")
    """Hash of the rules that either side was judged by."""
    steps: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = ()
    """Per procedure (its new id) which old step is which new one, as pairs of ids."""
    tools: tuple[str, str] = ("", "")
    """What made the cards of either side: the tool's version; empty where that is not known."""

    @property
    def laid_out_anew(self) -> bool:
        """Whether every card is laid out anew, because the tool or its layout is another."""
        return any(edit.kind == "tool" for edit in self.edits)

    @property
    def weaker(self) -> tuple[Edit, ...]:
        """The edits that take a safeguard away."""
        return tuple(edit for edit in self.edits if edit.weaker)

    @property
    def anything_weaker(self) -> bool:
        """Whether an edit, a verdict, a slip or a figure is worse than before."""
        found = self.meaning
        worse = [
            *(one.worse for one in found.verdicts),
            *(one.worse for one in found.slips),
            *(one.worse for one in found.shifts),
        ]
        return bool(self.weaker or self.undisclosed or self.unread or found.findings_new or any(worse))
