"""A bag of fluid on a hook: two spaces, the fluid and the headspace above it."""

from stepwell.circuit.contents import STATES, WORDS
from stepwell.circuit.entry import Family, FigureSpec, PartKind

HUNG = ("lying", "hung")

KIND = PartKind(
    name="bag",
    family=Family.SPACE,
    summary="A bag. A chain that names the bag leads to its fluid; `bag-id.headspace` leads to the headspace above it.",
    figures=(
        FigureSpec(name="volume", dimension="volume", summary="what it holds when full", required=True),
        FigureSpec(name="height", dimension="length", summary="height of its lower edge when hung", required=True),
        FigureSpec(
            name="fill-time",
            dimension="time",
            summary="shortest wait after which filling from it counts as done",
        ),
        FigureSpec(name="margin", dimension="length", summary="least height of its lower edge above the main path"),
        FigureSpec(name="waste", dimension="volume", summary="what bleeds through luers may take from it"),
    ),
    states=(
        *sorted(STATES, key=lambda state: state[0] != "clear"),
        ("lying", "not hung: it has no head"),
        ("hung", "hung on its hook"),
    ),
    variables=(("contents", ("clear", *(word for word, _ in WORDS if word != "clear"))), ("hung", HUNG)),
)
