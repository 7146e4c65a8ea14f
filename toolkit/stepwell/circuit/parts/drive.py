"""The motor that turns a pump head, with its control."""

from stepwell.circuit.entry import Family, FigureSpec, PartKind, RefSpec

KIND = PartKind(
    name="drive",
    family=Family.EQUIPMENT,
    summary="The pump drive. Several may name one head; at the start it sits on the first that is no back-up.",
    figures=(
        FigureSpec(
            name="lift-speed",
            dimension="speed",
            summary="speed below which an artery may push back through it; without it no speed is known to hold",
        ),
        FigureSpec(name="working-speed", dimension="speed", summary="the speed meant by the word running"),
        FigureSpec(name="idle-speed", dimension="speed", summary="the speed meant by the word idle"),
        FigureSpec(
            name="soft-speed",
            dimension="speed",
            summary="speed up to which clamping and stopping are gentle; the idle speed where it is not stated",
        ),
    ),
    refs=(RefSpec(name="head", kinds=("pump-head",), summary="the head it turns", required=True),),
    traits=(
        ("back-up", "stands by; the head is moved to it"),
        ("hand", "turned by hand; no automatic response stops it"),
    ),
    states=(
        ("stopped", "stopped"),
        ("idle", "turning at idle speed"),
        ("running", "turning at working speed"),
    ),
    variables=(("speed", ("stopped", "idle", "running")),),
)
