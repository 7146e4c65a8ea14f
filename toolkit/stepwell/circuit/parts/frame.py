"""The holder that carries the set along with the patient."""

from stepwell.circuit.entry import Family, FigureSpec, PartKind

KIND = PartKind(
    name="frame",
    family=Family.EQUIPMENT,
    summary="The frame, trolley or bed-mounted holder with which the set travels.",
    figures=(FigureSpec(name="journey", dimension="time", summary="planned time away from piped gas and mains"),),
    states=(("parked", "at its place"), ("moving", "on its way"), ("arrived", "at its new place")),
    variables=(("place", ("parked", "moving", "arrived")),),
)
