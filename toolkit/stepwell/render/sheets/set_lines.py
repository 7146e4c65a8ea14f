"""The lines of an inspection sheet: everything that a set's file says, in the words of a language."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.entry import Family
from stepwell.circuit.kinds import part_kind
from stepwell.circuit.settings import baseline_state
from stepwell.circuit.settle import settle
from stepwell.model.language import Language
from stepwell.model.quantity import Quantity
from stepwell.model.rig import ATMOSPHERE, Part, Rig
from stepwell.publish.words import printed
from stepwell.render.drawings.state_words import state_words
from stepwell.render.sheets.common import ticked
from stepwell.render.sheets.document import Row
from stepwell.report.circuit_state import CircuitState, circuit_state

_UNIT_WORDS = frozenset({"in", "day", "days", "pieces"})


NO_BREAK = "\u00a0"
TRAITS = {
    "main": "on the main path",
    "on-main-path": "on the main path",
    "kept": "not to be opened by accident",
    "side-branch": "a side branch, to be bled",
    "travels": "goes along on a journey",
    "roaming": "a loose tube clamp",
    "hand": "turned by hand",
}
"""What a trait says to those who stand at the set; one that is not here says it by its name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetWords:
    """A set whose labels are in ``language`` already, and what its file says in other words than labels."""

    rig: Rig
    language: Language

    def say(self, english: str, **slots: str) -> str:
        """Fixed words of the sheet."""
        return self.language.say("sheet", english, **slots)

    def labels(self) -> dict[str, str]:
        """What parts are called, by id."""
        return {part.id: part.label or part.id for part in self.rig.parts}

    def place(self, name: str) -> str:
        """A part in a chain; ``name`` may name a place in it after a full stop."""
        part, _, within = name.partition(".")
        if name == ATMOSPHERE:
            return self.say("the open air")
        return self.labels().get(part, part) + (f" ({self._word(within)})" if within else "")

    def traits(self, part: Part) -> tuple[str, ...]:
        """The traits of a part."""
        if self.language.english:
            return tuple(TRAITS.get(trait, trait.replace("-", " ")) for trait in part.traits)
        return tuple(self.language.say("kind", trait) for trait in part.traits)

    def figures(self, part: Part) -> tuple[str, ...]:
        """The figures of a part, each with its name."""
        return tuple(
            # A figure never breaks from its unit.
            f"{self.language.say('figure', name.replace('-', ' '))} {self._number(value).replace(' ', NO_BREAK)}"
            for name, value in part.data
        )

    def words(self, part: Part) -> tuple[str, ...]:
        """The words that a part carries, such as which gas it holds."""
        if self.language.english:
            return tuple(f"{name}: {word}" for name, word in part.words)
        return tuple(f"{self._word(name)}: {self._word(word)}" for name, word in part.words)

    def refs(self, part: Part) -> tuple[str, ...]:
        """The other parts that a part belongs to."""
        labels = self.labels()
        return tuple(
            f"{self.language.say('kind', name)}: {', '.join(labels.get(one, one) for one in ids)}" for name, ids in part.refs
        )

    def fits(self, part: Part) -> str:
        """What a connector fits, and on which side it is. What it fits is the unit's own word."""
        word = part.word("fits") or ""
        fits = self.language.text(f"fits:{word}", word.replace("-", " "))
        match part.word("role"):
            case "drain":
                return fits + self.say(", drain side")
            case "return":
                return fits + self.say(", return side")
            case _:
                return fits

    def _number(self, value: Quantity) -> str:
        """A figure whose unit is a word, and not a symbol, has it in the language."""
        if value.unit == "times":
            return self.language.say("card", "{count} times", count=f"{value.value:f}")
        number = printed(str(value), self.language)
        amount, _, unit = number.partition(" ")
        return f"{amount} {self._word(unit)}" if unit in _UNIT_WORDS else number

    def _word(self, word: str) -> str:
        return self.language.say("word", word.replace("-", " "))


def joints(words: SetWords) -> tuple[Row, ...]:
    """Every pair of neighbours in the chains, in the direction in which the file lists them."""
    pairs = dict.fromkeys(pair for chain in words.rig.chains for pair in pairwise(chain.parts))
    return tuple(ticked(words.place(one), words.place(other), boxes=2, strong=-1) for one, other in pairs)


def ends(words: SetWords) -> tuple[Row, ...]:
    """Every connector: what it fits, and what it is joined to."""
    labels, states = words.labels(), _states(words)
    return tuple(
        ticked(labels[part.id], words.fits(part), _joined(words, part.id) or states.get(part.id, ""), boxes=2)
        for part in _of(words.rig, Family.END)
    )


def gates(words: SetWords) -> tuple[Row, ...]:
    """Whatever can be opened and shut."""
    labels, states = words.labels(), _states(words)
    chosen = [part for part in words.rig.parts if part in _of(words.rig, Family.GATE) or part.kind == "tap"]
    return tuple(ticked(labels[part.id], _place(part, words), states.get(part.id, ""), boxes=2) for part in chosen)


def spaces(words: SetWords) -> tuple[Row, ...]:
    """Whatever holds something, but for the patient's vessels and the taps."""
    labels = words.labels()
    chosen = [part for part in _of(words.rig, Family.SPACE) if part.kind not in ("vein", "artery", "tap")]
    return tuple(
        ticked(labels[part.id], part.place, ", ".join((*words.figures(part), *words.traits(part))), boxes=2)
        for part in chosen
    )


def equipment(words: SetWords) -> tuple[Row, ...]:
    """Whatever is not in the fluid's path, and parts of kinds that nothing is known of."""
    labels = words.labels()
    placed = {part.id for part in _of(words.rig, Family.SPACE, Family.GATE, Family.END)}
    rows = []
    for part in words.rig.parts:
        if part.id in placed:
            continue
        belongs = "; ".join((*([part.place] if part.place else []), *words.refs(part)))
        told = (*words.traits(part), *words.words(part), *words.figures(part))
        rows.append(ticked(labels[part.id], belongs, ", ".join(told), boxes=2))
    return tuple(rows)


def first_state(rig: Rig) -> tuple[str, CircuitState] | None:
    """The first baseline: its name in English words, and the state; None for a set without any."""
    if not rig.baselines:
        return None
    layout = compile_rig(rig)
    first = rig.baselines[0]
    state = settle(layout, baseline_state(layout, first)).state
    return first.name.replace("-", " "), circuit_state(layout, state)


def _of(rig: Rig, *families: Family) -> list[Part]:
    return [part for part in rig.parts if (kind := part_kind(part.kind)) is not None and kind.family in families]


def _joined(words: SetWords, name: str) -> str:
    labels = words.labels()
    for baseline in words.rig.baselines[:1]:
        for setting in baseline.settings:
            if setting.part == name and setting.word.startswith("joined:"):
                other = setting.word.removeprefix("joined:")
                return words.language.say("drawing", "joined to {part}", part=labels.get(other, other))
    return ""


def _place(part: Part, words: SetWords) -> str:
    return ", ".join((part.place, *words.traits(part))).strip(", ")


def _states(words: SetWords) -> dict[str, str]:
    """The state of every part in the first baseline, in words."""
    first = first_state(words.rig)
    if first is None:
        return {}
    return {one.part: state_words(words.rig.part(one.part), one, words.language) for one in first[1].parts}
