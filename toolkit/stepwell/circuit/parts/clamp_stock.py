"""The loose tube clamps that are to hand."""

from stepwell.circuit.entry import Family, FigureSpec, PartKind

KIND = PartKind(
    name="clamp-stock",
    family=Family.EQUIPMENT,
    summary="The loose tube clamps to hand; a clamp with the trait roaming takes one of them while it is shut.",
    figures=(FigureSpec(name="count", dimension="count", summary="how many loose tube clamps there are", required=True),),
)
