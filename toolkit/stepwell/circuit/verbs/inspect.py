"""inspect: the water side for leaks."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.contents import DRY, within
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action
from stepwell.model.tri import Tri


def effect(bench: Bench, action: Action) -> str | None:
    """Look for water on the blood side. That tells something only while water runs and the blood side is dry."""
    part = action.parts[0]
    if bench.word(part, "water") != "flowing":
        return f"no water runs through {bench.label(part)}"
    found = bench.layout.rig.part(part)
    oxygenator = found.ref("oxygenator")[0] if found is not None else part
    dry = within(bench.number(oxygenator, "contents"), DRY) is Tri.YES
    bench.write(part, "test", "leak-tested" if dry else "tested-wet")
    return None


VERB = Verb(
    name="inspect",
    summary="Look for a water leak into the blood side while water runs.",
    words=("inspect", "look", "check"),
    does="inspects {0} for leaks",
    pairs=(("water-circuit",),),
    arity=Arity.EACH,
    effect=effect,
)
