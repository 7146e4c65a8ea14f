"""A small dead-end side branch, such as a pigtail behind a clip."""

from stepwell.circuit.contents import STATES, WORDS
from stepwell.circuit.entry import Family, FigureSpec, PartKind

KIND = PartKind(
    name="stub",
    family=Family.SPACE,
    summary="A small side branch. Flow out of its end rinses it with what its neck holds.",
    figures=(
        FigureSpec(name="volume", dimension="volume", summary="what it holds"),
        FigureSpec(name="height", dimension="length", summary="height above the floor of its highest point"),
    ),
    traits=(("side-branch", "counts as a side branch that must be bled"),),
    states=STATES,
    variables=(("contents", tuple(word for word, _ in WORDS)),),
)
