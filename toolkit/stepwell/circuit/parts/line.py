"""A length of tubing."""

from stepwell.circuit.contents import STATES, WORDS
from stepwell.circuit.entry import Family, FigureSpec, PartKind, WordSpec

SIDES = ("before-pump", "after-pump", "after-oxygenator")
"""Where a place of the main path is, in the direction of the flow."""

KIND = PartKind(
    name="line",
    family=Family.SPACE,
    summary="A length of tubing.",
    figures=(
        FigureSpec(name="bore", dimension="length", summary="inner diameter"),
        FigureSpec(name="length", dimension="length", summary="length"),
        FigureSpec(name="height", dimension="length", summary="height above the floor of its highest point"),
    ),
    words=(WordSpec(name="side", choices=SIDES, summary="where on the main path it is"),),
    traits=(
        ("kept", "must not be opened by accident: parting may not expose it"),
        ("main", "lies on the main path from the drainage end to the return end"),
    ),
    states=STATES,
    variables=(("contents", tuple(word for word, _ in WORDS)),),
)
