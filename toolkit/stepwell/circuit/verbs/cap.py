"""cap: put a cap on, or one on a gas outlet."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Put it on; one that is on already stays so and is noted."""
    part = action.parts[0]
    found = bench.layout.rig.part(part)
    if found is not None and found.kind == "gas-outlet":
        bench.set_word(part, "gate", "capped", f"{bench.label(part)} is capped already")
    else:
        bench.set_word(part, "gate", "on", f"{bench.label(part)} is on already")
    return None


VERB = Verb(
    name="cap",
    summary="Put a cap on, or one on a gas outlet.",
    words=("cap", "replace", "put", "tighten"),
    does="puts {0} on",
    pairs=(("cap", "gas-outlet"),),
    arity=Arity.EACH,
    effect=effect,
)
