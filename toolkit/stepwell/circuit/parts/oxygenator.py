"""The blood side of an oxygenator; its gas and water sides are equipment of their own."""

from stepwell.circuit.contents import STATES, WORDS
from stepwell.circuit.entry import Family, FigureSpec, PartKind

KIND = PartKind(
    name="oxygenator",
    family=Family.SPACE,
    summary="The blood side of an oxygenator.",
    figures=(
        FigureSpec(name="volume", dimension="volume", summary="what it holds", required=True),
        FigureSpec(name="height", dimension="length", summary="height above the floor of its highest point"),
        FigureSpec(name="clear-runs", dimension="count", summary="how many runs with a stop between clear it of air"),
        FigureSpec(name="clear-speed", dimension="speed", summary="speed below which a run does not clear it"),
        FigureSpec(name="clear-time", dimension="time", summary="time below which a run does not clear it"),
        FigureSpec(name="clear-stop", dimension="time", summary="how long it must stand still between two runs"),
    ),
    traits=(("kept", "parting may not expose it"), ("main", "lies on the main path")),
    states=STATES,
    variables=(("contents", tuple(word for word, _ in WORDS)),),
)
