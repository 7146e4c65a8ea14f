"""uncap: take a cap off."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Take it off; one that is off already stays so and is noted."""
    part = action.parts[0]
    bench.set_word(part, "gate", "off", f"{bench.label(part)} is off already")
    return None


VERB = Verb(
    name="uncap",
    summary="Take a cap off.",
    words=("uncap", "remove", "take"),
    does="takes {0} off",
    pairs=(("cap",),),
    arity=Arity.EACH,
    effect=effect,
)
