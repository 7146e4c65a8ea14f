"""What must be to hand for the day when the set fails."""

from stepwell.circuit.entry import Family, PartKind

KIND = PartKind(
    name="backup",
    family=Family.EQUIPMENT,
    summary="Something kept to hand for a failure: hand drive, spare set, tube clamps, light.",
    traits=(("travels", "must go along when the patient is moved"),),
    states=(("missing", "nobody has seen that it is there and whole"), ("ready", "seen to be there and whole")),
    variables=(("kit", ("missing", "ready")),),
)
