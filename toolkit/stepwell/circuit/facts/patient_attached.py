"""patient-attached: a patient's vessel is joined to the circuit, whatever clamps are shut."""

from __future__ import annotations

from stepwell.circuit.entry import FactEntry
from stepwell.circuit.sides import patient_attached
from stepwell.circuit.view import View
from stepwell.model.tri import Tri, tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See the summary."""
    return tri(patient_attached(view))


FACT = FactEntry(
    name="patient-attached",
    summary="A patient's vessel is joined to the circuit, whatever clamps are shut.",
    args=(),
    yes="a patient is attached",
    no="no patient is attached",
    observed=("eye",),
    evaluate=evaluate,
)
