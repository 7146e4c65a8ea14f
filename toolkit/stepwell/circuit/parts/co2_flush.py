"""Carbon dioxide led into a dry set before it is filled."""

from stepwell.circuit.entry import Family, FigureSpec, PartKind, RefSpec

KIND = PartKind(
    name="co2-flush",
    family=Family.EQUIPMENT,
    summary="A line with carbon dioxide to a dry set, so that what is trapped on filling dissolves.",
    figures=(FigureSpec(name="flush-time", dimension="time", summary="how long it must run until the set surely holds it"),),
    refs=(
        RefSpec(
            name="site",
            kinds=("bag", "line", "pump-head", "oxygenator", "stub", "tap"),
            summary="the space into which it leads",
            required=True,
        ),
    ),
    states=(("flush-off", "no carbon dioxide flows"), ("flush-on", "carbon dioxide flows")),
    variables=(("flush", ("flush-off", "flush-on")),),
)
