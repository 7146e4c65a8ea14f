"""A gas supply to the oxygenator's gas side."""

from stepwell.circuit.entry import Family, PartKind, RefSpec

KIND = PartKind(
    name="gas-supply",
    family=Family.EQUIPMENT,
    summary="Sweep gas to an oxygenator: wall outlet, cylinder or blender with its line.",
    refs=(RefSpec(name="oxygenator", kinds=("oxygenator",), summary="whose gas side it feeds", required=True),),
    states=(("gas-off", "no gas flows"), ("gas-on", "gas flows")),
    variables=(("gas", ("gas-off", "gas-on")),),
)
