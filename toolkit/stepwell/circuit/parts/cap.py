"""A cap on a luer or port."""

from stepwell.circuit.entry import Family, PartKind

KIND = PartKind(
    name="cap",
    family=Family.GATE,
    summary="A cap on a luer or port.",
    traits=(("vented", "is of the vented sort at the start: lets gas pass even when it is on"),),
    states=(("on", "on"), ("off", "off"), ("sealed", "of the sealed sort"), ("vented", "of the vented sort")),
    variables=(("gate", ("on", "off")), ("sort", ("sealed", "vented"))),
)
