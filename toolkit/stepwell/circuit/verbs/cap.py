"""cap: put a cap on."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Put it on; one that is on already stays so and is noted."""
    part = action.parts[0]
    bench.set_word(part, "gate", "on", f"{bench.label(part)} is on already")
    return None


VERB = Verb(
    name="cap",
    summary="Put a cap on.",
    words=("cap", "replace", "put", "tighten"),
    does="puts {0} on",
    pairs=(("cap",),),
    arity=Arity.EACH,
    effect=effect,
)
