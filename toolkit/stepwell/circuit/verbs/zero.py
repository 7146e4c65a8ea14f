"""zero: a pressure sensor or a flow sensor."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.circuit.zeroing import zeroed_rightly
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Zero it. A zero against a live pressure or flow is stored all the same, and is then a false one."""
    part = action.parts[0]
    found = bench.layout.rig.part(part)
    if found is not None and found.kind == "pressure-sensor" and bench.word(part, "cable") == "unplugged":
        return f"{bench.label(part)} is not plugged in"
    if found is not None and found.kind == "flow-sensor" and bench.word(part, "fit") == "loose":
        return f"{bench.label(part)} is not on its line"
    right = zeroed_rightly(bench.view, part)
    bench.write(part, "zero", "zeroed" if right else "falsely-zeroed")
    return None


VERB = Verb(
    name="zero",
    summary="Zero a pressure sensor or a flow sensor.",
    words=("zero",),
    does="zeroes {0}",
    pairs=(("pressure-sensor", "flow-sensor"),),
    arity=Arity.EACH,
    effect=effect,
)
