"""The water side of an oxygenator with its heater."""

from stepwell.circuit.entry import Family, PartKind, RefSpec

KIND = PartKind(
    name="water-circuit",
    family=Family.EQUIPMENT,
    summary="The heater's water through the oxygenator's heat exchanger.",
    refs=(
        RefSpec(
            name="oxygenator",
            kinds=("oxygenator",),
            summary="whose heat exchanger it runs through",
            required=True,
        ),
    ),
    states=(
        ("still", "no water running"),
        ("flowing", "water running"),
        ("untested", "not yet looked at for leaks with the water running"),
        ("leak-tested", "looked at while the water ran and the blood side was dry"),
        ("tested-wet", "looked at only after the blood side had been filled"),
    ),
    variables=(("water", ("still", "flowing")), ("test", ("untested", "leak-tested", "tested-wet"))),
)
