"""A drawing to hold a set against: the circuit alone, each part with its state behind its label, and the rest in words.

Nobody sees a pressure or a movement by looking, so neither is drawn. Where several states are permitted, a part that
differs between them says each of its states and is framed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from stepwell.circuit.entry import Family
from stepwell.model.language import ENGLISH, Language
from stepwell.model.rig import Part, Rig
from stepwell.render.drawings.draw import Picture, broken_words, draw, size_of
from stepwell.render.drawings.paint import either
from stepwell.render.drawings.plan import CARDS
from stepwell.render.drawings.skeleton import family, skeleton_of
from stepwell.render.drawings.state_words import joined_words, state_words
from stepwell.report.circuit_state import CircuitState

UNSHOWN = frozenset({"missing", "unproven", "mains-unproven", "untested"})
"""Words for what nobody has shown yet. They are the check's own caution and nothing to hold a set against: a kit that is
there already does not differ from the start, nor does a battery that somebody has tried."""
PAGE = 917
"""About how many units of height a page of A4 holds where the width is filled."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToCompare:
    """``svg`` of ``width`` by ``height`` units, in which a line of type is ``SIZE`` units. ``told`` is every part of the
    circuit with its state, for those who do not see the picture. ``tubing`` is what all tubing without words beside it
    holds; empty if there is none. ``unsure`` are the parts whose state is not the same in all starts. ``beside`` is the
    equipment by label with its state."""

    svg: str
    width: int
    height: int
    told: str
    tubing: str
    unsure: frozenset[str]
    beside: tuple[tuple[str, str], ...]


def has_circuit(rig: Rig) -> bool:
    """Whether there is anything to draw: a space that is part of some chain."""
    spaces = {part.id for part in rig.parts if family(part) is Family.SPACE}
    return any(name.partition(".")[0] in spaces for chain in rig.chains for name in chain.parts)


def to_compare(rig: Rig, states: Sequence[CircuitState], language: Language = ENGLISH) -> ToCompare:
    """The drawing of a set that may be in any of ``states``; drawn is the first."""
    made = skeleton_of(rig)
    far = {name for chain in made.rest for name in chain}
    words = {part.id: _words(rig, part, states, far, language) for part in rig.parts}
    labels = {part.id: " ".join((part.label or part.id).split()) for part in rig.parts}
    outside = set(made.equipment)
    tubing = _alike(rig, words, outside)
    said = tuple(
        (name, "" if name in tubing else _line(labels[name], told, language))
        for name, told in words.items()
        if name not in outside
    )
    unsure = frozenset(name for name, told in words.items() if len(told) > 1)
    pictures = (
        Picture(state=states[0], look=unsure, key=False, ground=False, frame=frame, said=said, language=language)
        for frame in CARDS
    )
    picture = min(pictures, key=lambda one: _worth(rig, one))
    width, height = size_of(rig, picture)
    return ToCompare(
        svg=draw(rig, picture),
        width=width,
        height=height,
        told="; ".join(_line(labels[name], words[name], language) for name in words if name not in outside) + ".",
        tubing=words[min(tubing)][0] if tubing else "",
        unsure=unsure,
        beside=tuple((labels[name], either(list(words[name]), language)) for name in made.equipment if any(words[name])),
    )


def _worth(rig: Rig, picture: Picture) -> tuple[bool, int, int]:
    """The less the better: that it fits on a page, then that no word is broken, then that it is low."""
    _, height = size_of(rig, picture)
    return height > PAGE, broken_words(rig, picture), height


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
