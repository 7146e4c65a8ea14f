"""The way out of an oxygenator's gas side."""

from stepwell.circuit.entry import Family, PartKind, RefSpec

KIND = PartKind(
    name="gas-outlet",
    family=Family.EQUIPMENT,
    summary="The opening by which used gas leaves the oxygenator; a cap on it dams the gas up.",
    refs=(RefSpec(name="gas", kinds=("gas-supply",), summary="whose gas leaves by it", required=True),),
    states=(("clear", "nothing is on it"), ("capped", "a cap is on it")),
    variables=(("gate", ("clear", "capped")),),
)
