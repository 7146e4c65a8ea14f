"""A gas supply to the oxygenator's gas side."""

from stepwell.circuit.entry import Family, FigureSpec, PartKind, RefSpec

KIND = PartKind(
    name="gas-supply",
    family=Family.EQUIPMENT,
    summary="Sweep gas to an oxygenator: the flow meter or blender with its line, fed by one gas source at a time.",
    figures=(FigureSpec(name="flow", dimension="flow", summary="gas flow that is planned for"),),
    refs=(RefSpec(name="oxygenator", kinds=("oxygenator",), summary="whose gas side it feeds", required=True),),
    states=(
        ("gas-off", "the flow meter is shut"),
        ("gas-on", "the flow meter is open"),
        ("disconnected", "on no gas source (see `connected` in the baseline)"),
    ),
    variables=(("gas", ("gas-off", "gas-on")), ("source", ("disconnected",))),
)
"""The variable ``source`` is laid out with one more word for each gas source of the rig."""
