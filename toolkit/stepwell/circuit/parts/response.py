"""An automatic response of the equipment to a sensor, such as stopping the pump on a bubble."""

from stepwell.circuit.entry import Family, PartKind, RefSpec

KIND = PartKind(
    name="response",
    family=Family.EQUIPMENT,
    summary="An automatic response: while it is live and the sensor it watches sees a cause, the pump can't be run.",
    refs=(
        RefSpec(
            name="watches",
            kinds=("bubble-sensor", "flow-sensor"),
            summary="the sensor that sets it off",
            required=True,
        ),
    ),
    states=(
        ("live", "acts by itself (the fact asks for its sound too)"),
        ("suspended", "switched off for the moment"),
        ("audible", "its alarm can be heard"),
        ("silenced", "the sound of its alarm is off"),
    ),
    variables=(("response", ("live", "suspended")), ("sound", ("audible", "silenced"))),
)
