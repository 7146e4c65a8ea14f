"""A clamp on a tube: fixed in its place, or a roaming tube clamp at a named site."""

from stepwell.circuit.entry import Family, PartKind

KIND = PartKind(
    name="clamp",
    family=Family.GATE,
    summary="A clamp on a tube (slide clamp, clip, tube clamp at a named site).",
    traits=(
        ("on-main-path", "lies on the way from the drainage end to the return end"),
        ("roaming", "a loose tube clamp at this site, taken from the counted stock"),
    ),
    states=(("open", "open"), ("shut", "shut"), ("throttled", "partly shut")),
    variables=(("gate", ("open", "shut", "throttled")),),
)
