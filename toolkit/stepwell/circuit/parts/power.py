"""The electricity of the console."""

from stepwell.circuit.entry import Family, FigureSpec, PartKind

KIND = PartKind(
    name="power",
    family=Family.EQUIPMENT,
    summary="The console's electricity: the plug in the wall, and the battery that carries it away from there.",
    figures=(
        FigureSpec(name="lasts", dimension="time", summary="how long the battery carries it"),
        FigureSpec(name="proof-time", dimension="time", summary="how long a run on battery proves the battery"),
    ),
    states=(
        ("on-mains", "plugged in"),
        ("on-battery", "not plugged in"),
        ("unproven", "nobody has seen it run on its battery"),
        ("battery-proven", "it has run on its battery for long enough"),
        ("mains-unproven", "nobody has seen the sign that it charges"),
        ("mains-proven", "the sign that it charges was seen since it was plugged in"),
    ),
    variables=(
        ("supply", ("on-mains", "on-battery")),
        ("battery", ("unproven", "battery-proven")),
        ("mains", ("mains-unproven", "mains-proven")),
    ),
)
