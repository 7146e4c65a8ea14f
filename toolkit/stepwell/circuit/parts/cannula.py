"""A cannula, from its connector to the vessel."""

from stepwell.circuit.contents import STATES, WORDS
from stepwell.circuit.entry import Family, FigureSpec, PartKind

KIND = PartKind(
    name="cannula",
    family=Family.SPACE,
    summary="A cannula.",
    figures=(
        FigureSpec(name="volume", dimension="volume", summary="what it holds"),
        FigureSpec(name="height", dimension="length", summary="height above the floor of its highest point"),
    ),
    traits=(),
    states=STATES,
    variables=(("contents", tuple(word for word, _ in WORDS)),),
)
