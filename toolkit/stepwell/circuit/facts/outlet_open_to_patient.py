"""outlet-open-to-patient: the way from the outlet of the pump to a vessel of the patient is open."""

from __future__ import annotations

from stepwell.circuit.entry import FactEntry
from stepwell.circuit.sides import outlet_open_to_patient
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(outlet_open_to_patient(view))


FACT = FactEntry(
    name="outlet-open-to-patient",
    summary="The way from the outlet of the pump to a vessel of the patient is open.",
    args=(),
    yes="the way from the pump to the patient is open",
    no="the way from the pump to the patient is shut",
    observed=("eye",),
    evaluate=evaluate,
)
