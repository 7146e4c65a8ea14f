"""A pressure sensor; its trait decides how it is zeroed."""

from stepwell.circuit.entry import Family, PartKind, RefSpec, WordSpec
from stepwell.circuit.parts.line import SIDES

ZERO = ("unzeroed", "zeroed", "falsely-zeroed")

KIND = PartKind(
    name="pressure-sensor",
    family=Family.EQUIPMENT,
    summary="A pressure sensor. Built-in sensors are zeroed dry; transducers on a fluid line wet, opened to air, at level.",
    refs=(
        RefSpec(name="site", kinds=(), summary="the space whose pressure it reads", required=True),
        RefSpec(name="tap", kinds=("tap",), summary="the tap through which a fluid line is opened to air"),
    ),
    words=(WordSpec(name="side", choices=SIDES, summary="where the pressure that it is labelled for is"),),
    traits=(
        ("built-in", "part of the set, zeroed while dry"),
        ("fluid-line", "on a fluid line, zeroed wet and open to air"),
    ),
    sorts=("built-in", "fluid-line"),
    states=(
        ("unplugged", "no cable"),
        ("plugged", "cable connected"),
        ("unzeroed", "not zeroed"),
        ("zeroed", "zeroed as its kind asks"),
        ("falsely-zeroed", "zeroed against a pressure that was not the air's"),
    ),
    variables=(("cable", ("unplugged", "plugged")), ("zero", ZERO)),
)
