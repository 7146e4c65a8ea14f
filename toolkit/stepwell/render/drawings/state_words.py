"""The state of a part in the few words that stand below its label, and the whole picture as text."""

from __future__ import annotations

from collections.abc import Mapping

from stepwell.circuit.contents import AIR, BLOOD, CLEAR, CO2, WET
from stepwell.circuit.entry import Family
from stepwell.circuit.hydraulics import ABOVE, AT, BELOW
from stepwell.circuit.kinds import part_kind
from stepwell.model.language import ENGLISH, Language
from stepwell.model.rig import Part, Rig
from stepwell.render.drawings.paint import contents_words, either, every_possibility
from stepwell.render.drawings.type_size import width_of
from stepwell.report.circuit_state import CircuitState, PartState

_SAID = {
    "out": "not seated",
    "unproven": "battery unproven",
    "unzeroed": "not zeroed",
    "all": "open to all ways",
    "line": "open to the line",
    "air": "open to air",
    "off": "shut",
}
_UNTOLD = frozenset({"audible", "sealed", "seated"})
"""What a part is by default need not be said of each."""
MATES = ("covered", "bare", "joined")
CONTENTS = (AIR, CO2, WET, CLEAR, BLOOD, AIR | CO2, AIR | CLEAR, WET | CLEAR, 0)
"""One mask for each of the words that a space may have below its label."""
_TAP_ONLY = frozenset({"all", "line", "air", "off"})
_PRESSURE = {ABOVE: "pressure above the air's", BELOW: "pressure below the air's"}
_SHORT = {"open to all ways": "all ways", "open to the line": "to the line", "open to air": "to air"}


def state_words(part: Part | None, state: PartState, language: Language = ENGLISH) -> str:
    """Such as ``air-free`` or ``plugged, not zeroed``; the words of the rig file for a kind that nothing is known of."""
    tap = part is not None and part.kind == "tap"
    plain = {"audible", "sealed" if part is not None and part.kind == "cap" else ""}
    if state.mate:
        return language.say("drawing", {"covered": "covered", "bare": "open to air"}.get(state.mate, "joined"))
    words = [word for word in state.words if word not in plain]
    if tap and words:
        # The chamber's contents show in its shape; the position is what the eye has to check.
        said = _said(words[0], tap)
        return _in(language, _SHORT.get(said, said))
    if state.contents is not None:
        words = [word for word in words if word != "seated"]
    told = [_in(language, _said(word, tap)) for word in words]
    if state.rpm is not None:
        runs = language.say("drawing", "runs at {speed} rpm", speed=str(state.rpm))
        told.insert(0, runs if state.rpm else language.say("drawing", "stands still"))
    if state.contents is not None:
        told.insert(0, contents_words(state.contents, language))
    return ", ".join(told)


def _said(word: str, tap: bool) -> str:
    if word in _TAP_ONLY:
        return _SAID[word] if tap else word
    return _SAID.get(word, word.replace("-", " "))


def _in(language: Language, word: str) -> str:
    """A word of a state in a language. What a supply is fed by is told by its label, which is in the language already."""
    # "off" alone is a cap's: of a tap it means shut, and is said so.
    if language.english:
        return word
    if word.startswith("on ") and not language.knows("state", word):
        return language.say("drawing", "on {part}", part=word.removeprefix("on "))
    return language.say("drawing" if language.knows("drawing", word) else "state", word)


def longest_state(part: Part, parts: Mapping[str, Part], *, apart: bool, language: Language = ENGLISH) -> str:
    """The longest words that can stand for a part's state, to keep room for. ``parts`` are all of the set; ``apart``: some
    connectors say what they are joined to."""
    kind = part_kind(part.kind)
    if kind is None:
        return ""
    if kind.family is Family.END:
        labels = {one.id: one.label or one.id for one in parts.values()}
        mates = [one.id for one in parts.values() if apart and one.kind == part.kind and one.id != part.id]
        joined = [joined_words(labels, PartState(part=part.id, mate=mate), language) for mate in mates]
        return _widest([*joined, *(state_words(part, PartState(part=part.id, mate=mate), language) for mate in MATES)])
    told = [_widest(_all_words(part, name, words, parts, language)) for name, words in kind.variables]
    return ", ".join(word for word in told if word)


def _all_words(part: Part, name: str, words: tuple[str, ...], parts: Mapping[str, Part], language: Language) -> list[str]:
    """All that can be said of one variable of a part."""
    tap = part.kind == "tap"
    if name == "contents":
        return [] if tap else [contents_words(mask, language) for mask in CONTENTS]
    if name == "speed":
        return [language.say("drawing", "stands still"), language.say("drawing", "runs at {speed} rpm", speed="0000")]
    if name == "source":
        fed = [f"on {one.label or one.id}" for one in parts.values() if one.kind == "gas-source"]
        return [_in(language, _said(word, tap)) for word in (*words, *fed)]
    said = [_said(word, tap) for word in words if word not in _UNTOLD]
    return [_in(language, _SHORT.get(word, word)) if tap else _in(language, word) for word in said]


def _widest(words: list[str]) -> str:
    return max(words, key=width_of, default="")


def flow_words(state: CircuitState, language: Language = ENGLISH) -> str:
    """What is said about the whole circuit."""
    if state.filling:
        return language.say("drawing", "Fills from above; the pump drives nothing.")
    if state.flow == ("none",):
        return language.say("drawing", "No flow through the pump.")
    flows = [language.say("state", flow) for flow in state.flow]
    if len(flows) == 1:
        return language.say("drawing", "Flow through the pump: {flow}.", flow=flows[0])
    return language.say("drawing", "Flow through the pump may be {flows}.", flows=either(flows, language))


def describe(
    rig: Rig, caption: str, state: CircuitState, changed: frozenset[str], language: Language = ENGLISH
) -> tuple[str, str]:
    """Title and description for those who do not see the picture: every part with its state, the changed ones first."""
    title = f"{rig.title}: {caption}" if caption else rig.title
    labels = {part.id: part.label or part.id for part in rig.parts}
    lines = [flow_words(state, language)]
    states = {one.part: one for one in state.parts}
    for first in (True, False):
        told = [part for part in rig.parts if (part.id in changed) is first and part.id in states]
        if told and changed:
            lines.append(language.say("drawing", "Changed:") if first else language.say("drawing", "As before:"))
        for part in told:
            one = states[part.id]
            words = joined_words(labels, one, language) or state_words(part, one, language)
            if one.contents is not None and part.kind != "tap":
                words = words.replace(contents_words(one.contents, language), every_possibility(one.contents, language), 1)
            elif one.contents is not None:
                words += ", " + language.say("drawing", "chamber {state}", state=every_possibility(one.contents, language))
            known = _PRESSURE.get(one.pressure or 0, "pressure not known")
            pressure = f", {language.say('drawing', known)}" if one.pressure not in (None, AT) else ""
            lines.append(f"{labels[part.id]}: {words}{pressure};" if words else f"{labels[part.id]};")
    return title, " ".join(lines)


def joined_words(labels: Mapping[str, str], state: PartState, language: Language = ENGLISH) -> str:
    """What a connector is joined to; empty if it is to nothing."""
    if state.mate not in labels:
        return ""
    return language.say("drawing", "joined to {part}", part=labels[state.mate])
