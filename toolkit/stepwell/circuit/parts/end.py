"""A connector at the end of a line, which may be joined to another."""

from stepwell.circuit.entry import Family, FigureSpec, PartKind, WordSpec

KIND = PartKind(
    name="end",
    family=Family.END,
    summary="A connector. Two ends can be joined if they fit the same thing; an end that is neither is open to air.",
    figures=(FigureSpec(name="bore", dimension="length", summary="inner diameter; above 5 mm liquid does not hold in it"),),
    words=(
        WordSpec(name="fits", choices=(), summary="a word for the connector; equal words fit", required=True),
        WordSpec(name="role", choices=("drain", "return", "none"), summary="which limb it belongs to"),
    ),
    states=(
        ("covered", "covered or self-sealing"),
        ("bare", "open"),
        ("joined", "joined (see `joined` in the baseline)"),
    ),
    variables=(("mate", ("covered", "bare")),),
)
