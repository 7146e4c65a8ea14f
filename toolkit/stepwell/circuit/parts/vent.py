"""A vent membrane with its cover: passes gas, not liquid."""

from stepwell.circuit.entry import Family, PartKind

KIND = PartKind(
    name="vent",
    family=Family.GATE,
    summary="A vent: a membrane that passes gas only, with a cover. It lets air out, and in where pressure is below air's.",
    states=(("shut", "covered"), ("open", "uncovered")),
    variables=(("gate", ("shut", "open")),),
)
