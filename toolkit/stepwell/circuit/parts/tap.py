"""A three-way tap with its chamber."""

from stepwell.circuit.contents import STATES, WORDS
from stepwell.circuit.entry import Family, FigureSpec, PartKind

POSITIONS = ("off", "line", "air", "all")

KIND = PartKind(
    name="tap",
    family=Family.SPACE,
    summary="A three-way tap. In its chain the part before it is the line side, what follows is the air side.",
    figures=(
        FigureSpec(name="volume", dimension="volume", summary="what its chamber holds"),
        FigureSpec(name="height", dimension="length", summary="height above the floor"),
    ),
    traits=(("side-branch", "counts as a side branch that must be bled"),),
    states=(
        *STATES,
        ("off", "shut to all ways"),
        ("line", "chamber open to the line, shut to air"),
        ("air", "chamber open to air, shut to the line"),
        ("all", "open to all ways, so that the line can flow out through it"),
    ),
    variables=(("contents", tuple(word for word, _ in WORDS)), ("position", POSITIONS)),
)
