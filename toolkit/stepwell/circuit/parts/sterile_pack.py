"""A double wrap in which a set, or its ends, comes to the sterile field."""

from stepwell.circuit.entry import Family, PartKind, RefSpec

KIND = PartKind(
    name="sterile-pack",
    family=Family.EQUIPMENT,
    summary="A double sterile wrap: unsterile hands open the outer one, sterile hands take the inner one.",
    refs=(RefSpec(name="ends", kinds=("end",), summary="the ends that lie in it", many=True),),
    states=(
        ("sealed", "both wraps shut"),
        ("outer-off", "the outer wrap is open"),
        ("on-field", "the inner part lies on the sterile field"),
    ),
    variables=(("wrap", ("sealed", "outer-off", "on-field")),),
)
