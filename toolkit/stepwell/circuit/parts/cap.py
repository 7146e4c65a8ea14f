"""A cap on a luer or port."""

from stepwell.circuit.entry import Family, PartKind

KIND = PartKind(
    name="cap",
    family=Family.GATE,
    summary="A cap on a luer or port.",
    traits=(("vented", "lets gas pass even when it is on"),),
    states=(("on", "on"), ("off", "off")),
    variables=(("gate", ("on", "off")),),
)
