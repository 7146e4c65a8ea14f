"""A patient's vein, seen from the circuit: a vessel of blood under pressure."""

from stepwell.circuit.contents import STATES, WORDS
from stepwell.circuit.entry import Family, FigureSpec, PartKind

KIND = PartKind(
    name="vein",
    family=Family.SPACE,
    summary="The patient's vein. Always holds blood.",
    figures=(FigureSpec(name="height", dimension="length", summary="height of the heart above the floor"),),
    states=tuple(sorted(STATES, key=lambda state: state[0] != "blood")),
    variables=(("contents", ("blood", *(word for word, _ in WORDS if word != "blood"))),),
)
