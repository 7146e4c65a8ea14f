"""The state of a part in the few words that stand below its label, and the whole picture as text."""

from __future__ import annotations

from stepwell.circuit.hydraulics import ABOVE, AT, BELOW
from stepwell.circuit.kinds import part_kind
from stepwell.model.rig import Part, Rig
from stepwell.render.drawings.paint import contents_words, every_possibility
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
_LONG = {"speed": "runs at 0000 rpm", "source": "on oxygen cylinder"}
"""The longest words for variables whose values are not words of their kind."""
_TAP_ONLY = frozenset({"all", "line", "air", "off"})
_PRESSURE = {ABOVE: "pressure above the air's", BELOW: "pressure below the air's"}
_SHORT = {"open to all ways": "all ways", "open to the line": "to the line", "open to air": "to air"}


def state_words(part: Part | None, state: PartState) -> str:
    """Such as ``air-free`` or ``plugged, not zeroed``; the words of the rig file for a kind that nothing is known of."""
    tap = part is not None and part.kind == "tap"
    # What a cap or an alarm is by default need not be said of each.
    plain = {"audible", "sealed" if part is not None and part.kind == "cap" else ""}
    said = [_said(word, tap) for word in state.words if word not in plain]
    if state.mate:
        return {"covered": "covered", "bare": "open to air"}.get(state.mate, "joined")
    if state.rpm is not None:
        said.insert(0, f"runs at {state.rpm} rpm" if state.rpm else "stands still")
    if part is not None and part.kind == "tap" and said:
        # The chamber's contents show in its shape; the position is what the eye has to check.
        return _SHORT.get(said[0], said[0])
    if state.contents is not None:
        said = [word for word in said if word != "seated"]
        said.insert(0, contents_words(state.contents))
    return ", ".join(said)


def _said(word: str, tap: bool) -> str:
    if word in _TAP_ONLY:
        return _SAID[word] if tap else word
    return _SAID.get(word, word.replace("-", " "))


def longest_state(part: Part) -> str:
    """The longest words that can stand below a part's label, to keep room for."""
    kind = part_kind(part.kind)
    variables = () if kind is None else kind.variables
    said = [_LONG.get(name) or max((_said(w, False) for w in words), key=len) for name, words in variables]
    return ", ".join(said)


def flow_words(state: CircuitState) -> str:
    """What is said about the whole circuit."""
    if state.filling:
        return "Fills from above; the pump drives nothing."
    if state.flow == ("none",):
        return "No flow through the pump."
    if len(state.flow) == 1:
        return f"Flow through the pump: {state.flow[0]}."
    return "Flow through the pump may be " + ", ".join(state.flow[:-1]) + f" or {state.flow[-1]}."


def describe(rig: Rig, caption: str, state: CircuitState, changed: frozenset[str]) -> tuple[str, str]:
    """Title and description for those who do not see the picture: every part with its state, the changed ones first."""
    title = f"{rig.title}: {caption}" if caption else rig.title
    labels = {part.id: part.label or part.id for part in rig.parts}
    lines = [flow_words(state)]
    states = {one.part: one for one in state.parts}
    for first in (True, False):
        told = [part for part in rig.parts if (part.id in changed) is first and part.id in states]
        if told and changed:
            lines.append("Changed:" if first else "As before:")
        for part in told:
            one = states[part.id]
            words = f"joined to {labels.get(one.mate, one.mate)}" if one.mate in labels else state_words(part, one)
            if one.contents is not None and part.kind != "tap":
                words = words.replace(contents_words(one.contents), every_possibility(one.contents), 1)
            elif one.contents is not None:
                words += f", chamber {every_possibility(one.contents)}"
            pressure = f", {_PRESSURE.get(one.pressure, 'pressure not known')}" if one.pressure not in (None, AT) else ""
            lines.append(f"{labels[part.id]}: {words}{pressure};" if words else f"{labels[part.id]};")
    return title, " ".join(lines)
