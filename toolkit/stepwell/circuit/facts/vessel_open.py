"""vessel-open: a vessel of the patient is in open connection with the open air."""

from __future__ import annotations

from stepwell.circuit.entry import FactEntry
from stepwell.circuit.layout import OPEN_AIR
from stepwell.circuit.links import both_ways, end_points, reached
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """Blood runs out, or air in: which of the two depends on pressures and is not asked here."""
    links, stop = both_ways(view.water.links), end_points(view.layout)
    vessels = [n for n, space in enumerate(view.layout.spaces) if space.kind in ("vein", "artery")]
    return tri(any(OPEN_AIR in reached(links, [vessel], stop=stop) for vessel in vessels))


FACT = FactEntry(
    name="vessel-open",
    summary="A vessel of the patient is in open connection with the open air.",
    args=(),
    yes="a vessel of the patient is open to the air",
    no="no vessel of the patient is open to the air",
    observed=("eye",),
    evaluate=evaluate,
)
