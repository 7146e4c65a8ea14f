"""A vent membrane with its cover: passes gas, not liquid."""

from stepwell.circuit.entry import Family, PartKind, RefSpec

KIND = PartKind(
    name="vent",
    family=Family.GATE,
    summary="A vent: a membrane that passes gas only, with a cover. It lets air out, and in where pressure is below air's.",
    refs=(RefSpec(name="of", kinds=("oxygenator", "line"), summary="the space it vents", required=True),),
    states=(("shut", "covered"), ("open", "uncovered")),
    variables=(("gate", ("shut", "open")),),
)
