"""on-wrong-cannula: a limb's end is joined to the cannula of the other limb."""

from __future__ import annotations

from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.layout import FIRST_MATE
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """Looks at the ends' roles. Two limbs of the set joined to each other (the loop) are no such thing."""
    end = view.layout.end_of(args[0])
    mate = view.state[end.mate]
    if mate < FIRST_MATE:
        return Tri.NO
    other = view.layout.ends[mate - FIRST_MATE]
    kinds = [view.layout.spaces[one.space].kind for one in (end, other)]
    roles = {end.role, other.role}
    return tri(kinds.count("cannula") == 1 and roles == {"drain", "return"})


FACT = FactEntry(
    name="on-wrong-cannula",
    summary="The end of a limb is joined to the cannula that belongs to the other limb.",
    args=(ArgSpec(name="part", kinds=("end",)),),
    yes="{0} is joined to the cannula of the other limb",
    no="{0} is not joined to the cannula of the other limb",
    observed=("eye",),
    evaluate=evaluate,
)
