"""A bubble sensor on a line."""

from stepwell.circuit.entry import Family, PartKind, RefSpec

KIND = PartKind(
    name="bubble-sensor",
    family=Family.EQUIPMENT,
    summary="A sensor for air bubbles in a line.",
    refs=(RefSpec(name="site", kinds=("line",), summary="the line it sits on", required=True),),
    states=(("loose", "not on its line"), ("fitted", "on its line")),
    variables=(("fit", ("loose", "fitted")),),
)
