"""What a rule of writing looks at, and what it says."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property

from stepwell.diagnostics.severity import Severity
from stepwell.diagnostics.span import Span
from stepwell.model.procedure import Kind, Procedure, Step, Words, plain, steps_of
from stepwell.model.rig import Rig
from stepwell.model.unit import Unit

WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")


@dataclass(frozen=True)
class Page:
    """One procedure with all that its words lead to. ``rig`` None: not known, so labels are ids."""

    procedure: Procedure
    rig: Rig | None
    unit: Unit

    @cached_property
    def labels(self) -> dict[str, str]:
        """What is printed for each part."""
        return {part.id: part.label for part in self.rig.parts} if self.rig else {}

    @cached_property
    def figures(self) -> dict[str, str]:
        """What is printed for each number of the unit."""
        return {number.name: str(number.value) for number in self.unit.numbers}

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """Every step in the order of the page."""
        return steps_of(self.procedure.body)

    @property
    def emergency(self) -> bool:
        """True for an emergency card."""
        return self.procedure.kind is Kind.EMERGENCY

    def text(self, words: Words) -> str:
        """The words as they are printed."""
        return plain(words, self.labels, self.figures)

    def bare(self, words: Words) -> str:
        """The words with an X in place of each label and a 0 in place of each figure: only what the author typed."""
        return plain(words, dict.fromkeys(self.labels, "X"), dict.fromkeys(self.figures, "0"))

    def typed(self) -> Iterator[tuple[Step, str, str, Span | None]]:
        """Every text of every step as the author typed it: the step, what the text is, the text, its place."""
        for step in self.steps:
            yield step, "say", self.bare(step.say), step.say_span or step.span
            yield step, "why", self.bare(step.why), step.span
            yield step, "missed", self.bare(step.missed), step.span
            if step.if_not is not None:
                yield step, "if-not", self.bare(step.if_not.words), step.if_not.span or step.span
            for warn in step.warn:
                for what, words in (
                    ("hazard", warn.hazard),
                    ("consequence", warn.consequence),
                    ("avoidance", warn.avoidance),
                ):
                    yield step, what, self.bare(words), warn.span or step.span


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """One thing to answer for."""

    message: str
    mend: str
    step: str | None = None
    span: Span | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WritingRule:
    """One rule. ``mark``: primary text, quoted by others, abstract, from memory, or a threshold of this house."""

    name: str
    code: str
    summary: str
    source: str
    mark: str
    look: Callable[[Page], Iterator[Seen]]
    severity: Severity = Severity.MINOR


def words_of(text: str) -> list[str]:
    """The words of a text in small letters."""
    return [word.lower() for word in WORD.findall(text)]
