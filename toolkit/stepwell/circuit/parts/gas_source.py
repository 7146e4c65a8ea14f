"""Where sweep gas comes from: a wall outlet or a cylinder."""

from stepwell.circuit.entry import Family, FigureSpec, PartKind, WordSpec

KIND = PartKind(
    name="gas-source",
    family=Family.EQUIPMENT,
    summary="A wall outlet or a cylinder (or several cylinders used as one) from which a gas supply is fed.",
    figures=(FigureSpec(name="holds", dimension="volume", summary="usable gas in it, as volume at the air's pressure"),),
    words=(
        WordSpec(name="gas", choices=("oxygen", "air", "co2"), summary="what it gives", required=True),
        WordSpec(name="store", choices=("piped", "cylinder"), summary="whether it can run out", required=True),
    ),
    states=(("shut", "its valve is shut"), ("open", "its valve is open, gas is there to be taken")),
    variables=(("gate", ("shut", "open")),),
)
