"""uncap: take a cap off, or the one on a gas outlet."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Take it off; one that is off already stays so and is noted."""
    part = action.parts[0]
    found = bench.layout.rig.part(part)
    if found is not None and found.kind == "gas-outlet":
        bench.set_word(part, "gate", "clear", f"{bench.label(part)} is clear already")
    else:
        bench.set_word(part, "gate", "off", f"{bench.label(part)} is off already")
    return None


VERB = Verb(
    name="uncap",
    summary="Take a cap off, or the one on a gas outlet.",
    words=("uncap", "remove", "take"),
    does="takes {0} off",
    pairs=(("cap", "gas-outlet"),),
    arity=Arity.EACH,
    effect=effect,
)
