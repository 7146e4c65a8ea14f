"""may-run-empty: the bag may run empty while it is open to the set."""

from __future__ import annotations

from stepwell.circuit.emptying import may_run_empty
from stepwell.circuit.entry import ArgSpec, FactEntry
from stepwell.circuit.view import View
from stepwell.model.tri import Tri


def evaluate(view: View, args: tuple[str, ...]) -> Tri:
    """See ``stepwell.circuit.emptying``."""
    return may_run_empty(view.layout, view.state, view.water, args[0])


FACT = FactEntry(
    name="may-run-empty",
    summary="The bag may run empty while it is open to the set.",
    args=(ArgSpec(name="part", kinds=("bag",)),),
    yes="{0} may run empty into the set",
    no="{0} does not run empty into the set",
    observed=("eye",),
    evaluate=evaluate,
)
