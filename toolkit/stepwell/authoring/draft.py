"""A procedure as far as a document tells it: the wording, and what could not be placed."""

from __future__ import annotations

from dataclasses import dataclass, field

NOT_SAID = "Not said in the document."


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One thing that a person must look at: where in the document, and what about it."""

    place: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Warned:
    """A warning; what the document does not say stands as ``NOT_SAID``."""

    hazard: str
    consequence: str
    avoidance: str
    severity: str


@dataclass(slots=True, kw_only=True)
class Line:
    """One line to be read aloud. ``notes`` stand above it as comments."""

    say: str
    place: str
    number: str = ""
    who: str = ""
    confirm: str = ""
    see: list[str] = field(default_factory=list)
    why: list[str] = field(default_factory=list)
    warn: list[Warned] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    id: str = ""


@dataclass(slots=True, kw_only=True)
class Remark:
    """Words that found no place on the card; a comment in the draft."""

    text: str
    place: str


@dataclass(slots=True, kw_only=True)
class Group:
    """A stage. One without lines becomes a comment."""

    title: str
    place: str
    level: int
    items: list[Line | Remark | Group] = field(default_factory=list)
    listed: bool = False
    """It is an item of a list that the lines before and behind it belong to, and no heading."""

    def lines(self) -> list[Line]:
        """Every line in it, in the order of the page."""
        found: list[Line] = []
        for item in self.items:
            if isinstance(item, Line):
                found.append(item)
            elif isinstance(item, Group):
                found += item.lines()
        return found


@dataclass(slots=True, kw_only=True)
class Draft:
    """The whole; ``kit`` are names and amounts."""

    title: str = ""
    use_when: list[str] = field(default_factory=list)
    do_not_use_when: list[str] = field(default_factory=list)
    kit: list[tuple[str, str]] = field(default_factory=list)
    cautions: list[str] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)
    body: Group = field(default_factory=lambda: Group(title="", place="", level=0))
    beside: list[Remark] = field(default_factory=list)
    told: list[Told] = field(default_factory=list)
