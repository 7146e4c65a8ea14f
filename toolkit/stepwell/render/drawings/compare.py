"""A drawing to hold a set against: the circuit alone, each part with its state behind its label, and the rest in words.

Nobody sees a pressure or a movement by looking, so neither is drawn. Where several states are permitted, a part that
differs between them says each of its states and is framed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

from stepwell.circuit.entry import Family
from stepwell.model.language import ENGLISH, Language
from stepwell.model.rig import Part, Rig
from stepwell.render.drawings.draw import Picture, broken_words, draw, draw_parted, planned, size_of
from stepwell.render.drawings.overlaps import overlaps
from stepwell.render.drawings.paint import either
from stepwell.render.drawings.paper import Words
from stepwell.render.drawings.place import plan_of
from stepwell.render.drawings.plan import CARD, CARDS, Frame
from stepwell.render.drawings.skeleton import family, figures_of, one_name
from stepwell.render.drawings.state_words import describe, joined_words, state_words
from stepwell.report.circuit_state import CircuitState

UNSHOWN = frozenset({"missing", "unproven", "mains-unproven", "untested"})
"""Words for what nobody has shown yet. They are the check's own caution and nothing to hold a set against: a kit that is
there already does not differ from the start, nor does a battery that somebody has tried."""
Worth = tuple[int, bool, float, int, int]
NOTHING = CircuitState(parts=(), flow=(), ways=())
"""Where things are does not follow from a state."""
HYPHEN_COST = 0.02
"""How much smaller words may be for each hyphen that need not be put behind a line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One arrangement of the same words: ``width`` by ``height`` units, in which a line of type is ``SIZE`` units.

    ``broken`` are words that are broken without a hyphen, ``hyphens`` those that were put behind lines,
    ``lines`` all lines of words.
    """

    rig: Rig
    picture: Picture
    width: int
    height: int
    broken: int
    hyphens: int
    lines: int

    @property
    def svg(self) -> str:
        """The drawing."""
        return draw(self.rig, self.picture)

    def parted(self) -> tuple[str, tuple[Words, ...]]:
        """The drawing without its words, and the words."""
        return draw_parted(self.rig, self.picture)

    @property
    def faults(self) -> int:
        """Lines of words that lie on something else."""
        one = self.picture
        return _faults(self.rig, one.frame, one.said, one.language.code, one.joined)

    def scale(self, wide: float, high: float, most: float) -> float:
        """How large a unit is where the drawing fills a room, at most ``most``."""
        return max(0.0, min(wide / self.width, high / self.height, most))


@dataclass(frozen=True, slots=True, kw_only=True)
class ToCompare:
    """A drawing whose form is not chosen yet. ``told`` is every part of the circuit with its state, for those who do not
    see the picture. ``tubing`` is what all tubing without words beside it holds, or nothing; where two circuits stand one
    below the other, ``tubing`` is of the upper and ``below`` of the lower one. ``unsure`` are the parts whose state is not
    the same in all starts. ``beside`` is the equipment by label with its state."""

    rig: Rig
    picture: Picture
    told: str
    tubing: str
    below: str
    unsure: frozenset[str]
    beside: tuple[tuple[str, str], ...]
    made: dict[Frame, Form] = field(default_factory=dict, compare=False, repr=False)
    """The forms that were asked for."""

    def texts(self) -> Iterator[str]:
        """Everything that stands in the drawing or is told of it, in whatever form it is set."""
        yield from (words for _, words in self.picture.said)
        one = self.picture
        yield from describe(self.rig, one.caption, one.state, one.changed, one.language)

    def forms(self) -> tuple[tuple[Form, ...], ...]:
        """All forms, in groups of one width each, the widest first; the last is that in which anything fits."""
        return tuple(tuple(self._form(frame) for frame in group) for group in (*CARDS, (CARD,)))

    def best(self, wide: float, high: float, least: float, most: float) -> Form:
        """The form whose words are largest in a room, a unit being ``most`` at most, and not below ``least`` if any is as
        large; larger words are worth a few hyphens. Of equal ones that with the fewest lines, then the lowest."""

        def worth(one: Form) -> Worth:
            scale = one.scale(wide, high, most)
            return one.broken, scale < least, -round(scale * (1 - HYPHEN_COST * one.hyphens), 3), one.lines, one.height

        found: list[Form] = []
        for group in CARDS:
            good = next(
                (one for one in sorted(self._tried(group, worth), key=worth) if not one.broken and not one.faults), None
            )
            if good is None:
                continue
            found.append(good)
            # Where the height is the limit a narrower drawing, which is higher, can't be larger.
            if good.scale(wide, high, most) < wide / good.width - 0.001:
                break
        return min(found, key=worth) if found else self._form(CARD)

    def _tried(self, group: tuple[Frame, ...], worth: Callable[[Form], Worth]) -> list[Form]:
        """Every third form of a group, and those beside the best of them: between too little room outside and too little
        inside there is one best width."""
        coarse = range(min(1, len(group) - 1), len(group), 3)
        best = min(coarse, key=lambda at: worth(self._form(group[at])))
        return [self._form(group[at]) for at in range(len(group)) if at in coarse or abs(at - best) == 1]

    def _form(self, frame: Frame) -> Form:
        if frame not in self.made:
            self.made[frame] = _form(self.rig, replace(self.picture, frame=frame))
        return self.made[frame]


def has_circuit(rig: Rig) -> bool:
    """Whether there is anything to draw: a space that is part of some chain."""
    spaces = {part.id for part in rig.parts if family(part) is Family.SPACE}
    return any(name.partition(".")[0] in spaces for chain in rig.chains for name in chain.parts)


def to_compare(rig: Rig, states: Sequence[CircuitState], language: Language = ENGLISH) -> ToCompare:
    """The drawing of a set that may be in any of ``states``; drawn is the first."""
    joined = frozenset((one.part, one.mate) for one in states[0].parts if rig.part(one.mate) is not None)
    figures = figures_of(rig, joined)
    far = {name for made in figures for chain in made.rest for name in chain}
    words = {part.id: _words(rig, part, states, far, language) for part in rig.parts}
    labels = {part.id: one_name(part) for part in rig.parts}
    outside = {name for made in figures for name in made.equipment}
    alike = [_alike(rig, words, outside if len(figures) < 2 else set(words) - made.circuit()) for made in figures]
    tubing = set().union(*alike)
    contents = [words[min(one)][0] if one else "" for one in alike]
    said = tuple(
        (name, "" if name in tubing else _line(labels[name], told, language))
        for name, told in words.items()
        if name not in outside
    )
    unsure = frozenset(name for name, told in words.items() if len(told) > 1)
    return ToCompare(
        rig=rig,
        picture=Picture(state=states[0], look=unsure, key=False, ground=False, said=said, language=language, joined=joined),
        told="; ".join(_line(labels[name], words[name], language) for name in words if name not in outside) + ".",
        tubing=contents[0],
        below="" if len(contents) < 2 else contents[1],
        unsure=unsure,
        beside=tuple(
            (labels[name], either(list(words[name]), language)) for name in words if name in outside and any(words[name])
        ),
    )


def _form(rig: Rig, picture: Picture) -> Form:
    height, broken, hyphens, lines = _measured(rig, picture.frame, picture.said, picture.language.code, picture.joined)
    width = round(picture.frame.width)
    return Form(rig=rig, picture=picture, width=width, height=height, broken=broken, hyphens=hyphens, lines=lines)


Said = tuple[tuple[str, str], ...]
Joined = frozenset[tuple[str, str]]


@lru_cache(maxsize=2048)
def _measured(rig: Rig, frame: Frame, said: Said, language: str, joined: Joined) -> tuple[int, int, int, int]:
    """Height, words broken without a hyphen, hyphens, and lines. Kept, because cards of one set often begin in one state."""
    picture = Picture(state=NOTHING, frame=frame, said=said, language=Language(code=language), joined=joined, key=False)
    return size_of(rig, picture)[1], *broken_words(rig, picture), sum(len(one.lines) for one in planned(rig, picture).blocks)


@lru_cache(maxsize=2048)
def _faults(rig: Rig, frame: Frame, said: Said, language: str, joined: Joined) -> int:
    return overlaps(plan_of(rig, frame, dict(said), language, joined))


def _line(label: str, told: tuple[str, ...], language: Language) -> str:
    words = f"{label}: {either(list(told), language)}" if any(told) else label
    return " ".join(words.split())


def _alike(rig: Rig, words: Mapping[str, tuple[str, ...]], outside: set[str]) -> set[str]:
    """The tubing that holds what most of the tubing holds. Nothing need be said beside it: one sentence says it."""
    tubing = [part.id for part in rig.parts if part.kind in ("line", "cannula") and part.id not in outside]
    sure = [name for name in tubing if len(words[name]) == 1]
    if not sure:
        return set()
    most = max(dict.fromkeys(words[name] for name in sure), key=[words[name] for name in sure].count)
    alike = {name for name in sure if words[name] == most}
    return alike if len(alike) > 1 else set()


def _words(rig: Rig, part: Part, states: Sequence[CircuitState], far: set[str], language: Language) -> tuple[str, ...]:
    """What the part's state is in each of the states, each wording once."""
    labels = {one.id: one.label or one.id for one in rig.parts}
    found: dict[str, None] = {}
    for state in states:
        one = next((own for own in state.parts if own.part == part.id), None)
        if one is None:
            continue
        one = replace(one, words=tuple(word for word in one.words if word not in UNSHOWN))
        joined = joined_words(labels, one, language) if part.id in far or one.mate in far else ""
        found.setdefault(joined or state_words(part, one, language))
    return tuple(found)
