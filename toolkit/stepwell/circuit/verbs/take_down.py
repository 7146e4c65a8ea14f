"""take-down: a bag from its hook."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Take it down: from then on it gives no head."""
    part = action.parts[0]
    bench.set_word(part, "hung", "lying", f"{bench.label(part)} is down already")
    return None


VERB = Verb(
    name="take-down",
    summary="Take a bag down from its hook.",
    words=("take", "lower", "unhook"),
    does="takes {0} down",
    pairs=(("bag",),),
    arity=Arity.EACH,
    effect=effect,
)
