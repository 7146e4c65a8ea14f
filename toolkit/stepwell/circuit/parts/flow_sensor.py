"""A flow sensor around a line."""

from stepwell.circuit.entry import Family, PartKind, RefSpec
from stepwell.circuit.parts.pressure_sensor import ZERO

KIND = PartKind(
    name="flow-sensor",
    family=Family.EQUIPMENT,
    summary="A flow sensor. It is zeroed on a filled line that stands still, clamped before and behind it.",
    refs=(
        RefSpec(name="site", kinds=("line",), summary="the line it sits on", required=True),
        RefSpec(name="before", kinds=("clamp",), summary="clamps before it, any of which will do", many=True),
        RefSpec(name="after", kinds=("clamp",), summary="clamps behind it, any of which will do", many=True),
    ),
    states=(
        ("loose", "not on its line"),
        ("fitted", "on its line"),
        ("unzeroed", "not zeroed"),
        ("zeroed", "zeroed on a filled, still line"),
        ("falsely-zeroed", "zeroed otherwise"),
    ),
    variables=(("fit", ("loose", "fitted")), ("zero", ZERO)),
)
