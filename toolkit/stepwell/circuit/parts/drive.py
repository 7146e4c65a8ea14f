"""The motor that turns a pump head, with its control."""

from stepwell.circuit.entry import Family, FigureSpec, PartKind, RefSpec

KIND = PartKind(
    name="drive",
    family=Family.EQUIPMENT,
    summary="The pump drive: turns the head that sits on it.",
    figures=(
        FigureSpec(
            name="lift-speed",
            dimension="speed",
            summary="speed below which an artery may push back through it",
        ),
        FigureSpec(name="working-speed", dimension="speed", summary="the speed meant by the word running"),
        FigureSpec(name="idle-speed", dimension="speed", summary="the speed meant by the word idle"),
    ),
    refs=(RefSpec(name="head", kinds=("pump-head",), summary="the head it turns", required=True),),
    states=(
        ("stopped", "stopped"),
        ("idle", "turning at idle speed"),
        ("running", "turning at working speed"),
    ),
    variables=(("speed", ("stopped", "idle", "running")),),
)
