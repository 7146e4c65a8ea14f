"""What the names in a file may lead to. ``None`` means: not known, because another file is broken; then nothing is said."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from stepwell.circuit.entry import PartKind, RefSpec
from stepwell.diagnostics.span import Span
from stepwell.model.quantity import Quantity
from stepwell.model.rig import Rig
from stepwell.source import faults
from stepwell.source.near import did_you_mean, listed, nearest, quote
from stepwell.source.nodes import Scalar
from stepwell.source.notes import Notes
from stepwell.source.vocabulary import Vocabulary


@dataclass(frozen=True, slots=True, kw_only=True)
class PartInfo:
    """What a reader must know of a part; ``kind`` is None where the rig does not say it in words that are known."""

    id: str
    kind: PartKind | None
    traits: tuple[str, ...] = ()
    fits: str | None = None
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepUse:
    """A step id that something refers to; looked up when the whole body has been read."""

    id: str
    span: Span
    by: str
    after: bool = False
    suffix: str = ""
    """What the ids around it end with, inside a ``for-each``."""


@dataclass(slots=True, kw_only=True)
class Scope:
    """The notes of a file and everything its names may lead to."""

    notes: Notes
    vocabulary: Vocabulary
    rig: str = ""
    parts: Mapping[str, PartInfo] | None = None
    whole: Rig | None = None
    """The rig itself, where its file has no fault: short forms are written out from it."""
    baselines: tuple[str, ...] | None = None
    roles: tuple[str, ...] | None = None
    numbers: Mapping[str, Quantity] | None = None
    procedures: frozenset[str] | None = None
    variants: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """By the id of a procedure for several rigs: those rigs."""
    people: tuple[str, ...] | None = None
    variables: dict[str, PartKind | None] = field(default_factory=dict)
    """Letters bound by ``for-every`` and ``for-some``, with the kind they range over."""
    ids: dict[str, Span] = field(default_factory=dict)
    """Every id as it is in the model; those written under ``for-each`` end with the part."""
    bases: dict[str, Span] = field(default_factory=dict)
    """Every id as it is written."""
    families: dict[str, list[str]] = field(default_factory=dict)
    """By an id that is written under ``for-each``: the ids that it stands for."""
    absent: dict[str, Span] = field(default_factory=dict)
    """Ids of steps that this rig does not need, or that can't be known."""
    suffix: str = ""
    """What is put behind each id while the steps of a ``for-each`` are read for one part."""
    everywhere: Mapping[str, tuple[str, ...]] | None = None
    """The parts of all the unit's rigs, each with the rigs that have it."""
    strangers: list[str] = field(default_factory=list)
    """Names that were taken for parts and are none of this rig."""
    uses: list[StepUse] = field(default_factory=list)
    written: int = 0
    """Actions that short forms were written out to."""
    rule: bool = False
    """True while a rule is read: passing facts may be used, and unknown names are unbound letters."""

    def role(self, node: Scalar) -> str:
        """A role that the unit has and the procedure lists."""
        name = node.text
        if self.roles is not None and name not in self.roles:
            mend = did_you_mean(name, self.roles, what="The unit's roles are") or "Add it to `roles` in unit.yaml."
            self.notes.add(faults.UNKNOWN_ROLE, node.span, f"The unit has no role {quote(name)}.", mend)
        elif self.people is not None and name not in self.people:
            self.notes.add(
                faults.ROLE_NOT_LISTED,
                node.span,
                f"{quote(name)} is not among the `people` of this procedure ({listed(self.people)}).",
                did_you_mean(name, self.people, what="Choose one of them, or add the role to `people`; listed are"),
            )
        return name

    def card(self, node: Scalar) -> str:
        """The id of a procedure of the unit; of one for several rigs, that for this rig."""
        rigs = self.variants.get(node.text)
        if rigs is not None and self.rig in rigs:
            return f"{node.text}-on-{self.rig}"
        if rigs is not None and self.rig:
            self.notes.add(
                faults.UNKNOWN_PROCEDURE,
                node.span,
                f"{quote(node.text)} is for the rigs {listed(rigs)}, but this procedure is for {quote(self.rig)}.",
                f"Name the one that is meant, such as `{node.text}-on-{rigs[0]}`, or add the rig to that procedure.",
            )
            return node.text
        if self.procedures is not None and node.text not in self.procedures:
            mend = did_you_mean(node.text, sorted(self.procedures), what="There are")
            self.notes.add(faults.UNKNOWN_PROCEDURE, node.span, f"There is no procedure {quote(node.text)}.", mend)
        return node.text

    def known_part(self, node: Scalar, *, quiet: bool = False) -> PartInfo | None:
        """The part of this id; None if there is none (noted) or if the rig is not known."""
        if self.parts is None:
            return None
        found = self.parts.get(node.text)
        if found is None and not quiet:
            self.no_part(node.text, node.span)
        return found

    def no_part(self, name: str, span: Span) -> None:
        """Note that the rig has no part of this name."""
        rig = f"The rig {quote(self.rig)}" if self.rig else "The rig"
        known = tuple(self.parts or ())
        self.strangers.append(name)
        mend = did_you_mean(name, known, what="Its parts are", most=8) or "Add it to the `parts` of the rig."
        others = (self.everywhere or {}).get(name, ())
        labelled = self.labelled(name)
        if self.numbers is not None and name in self.numbers:
            mend = f"{quote(name)} is a number of the unit; a part is needed here."
        elif self.roles is not None and name in self.roles and nearest(name, known) is None:
            mend = f"{quote(name)} is a role; a part is needed here."
        elif len(several := [one for one in re.split(r"\s*(?:,|&|\band\b)\s*", name) if one in known]) > 1:
            mend = f"Write them in brackets: `[{', '.join(several)}]`."
        elif labelled:
            mend = f"Write its id, {quote(labelled)}; {quote(name)} is the label that is printed."
        elif others and self.rig:
            mend = f"It is a part of {listed(others)}: name a part of {quote(self.rig)}, or correct `rig` of this procedure."
        self.notes.add(faults.UNKNOWN_PART, span, f"{rig} has no part {quote(name)}.", mend)

    def labelled(self, words: str) -> str | None:
        """The part that these words are the label of, or None."""
        plain = words.casefold().strip().removeprefix("the ")
        return next((part.id for part in (self.parts or {}).values() if plain and part.label.casefold() == plain), None)

    def kind_fits(self, info: PartInfo | None, kinds: tuple[str, ...], span: Span, doing: str) -> None:
        """Note a part of a kind that something is not for; ``doing`` is such as "`open` can be done to"."""
        if info is None or info.kind is None or not kinds or info.kind.name in kinds:
            return
        fitting = [name for name, part in (self.parts or {}).items() if part.kind and part.kind.name in kinds]
        mend = f"Parts that fit: {listed(fitting, most=8)}." if fitting else "This rig has no part of such a kind."
        self.notes.add(
            faults.WRONG_KIND,
            span,
            f"{doing} {listed(kinds)}, but {quote(info.id)} is of the kind {quote(info.kind.name)}.",
            mend,
        )


def ref_of(kind: PartKind, name: str) -> RefSpec | None:
    """The reference of this name that the kind declares, or None."""
    return next((ref for ref in kind.refs if ref.name == name), None)
