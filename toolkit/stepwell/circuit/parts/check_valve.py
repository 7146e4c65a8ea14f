"""A check valve: passes from the part before it in the chain to the part after it."""

from stepwell.circuit.entry import Family, PartKind

KIND = PartKind(
    name="check-valve",
    family=Family.GATE,
    summary="A check valve: passes only in the direction of its chain.",
)
