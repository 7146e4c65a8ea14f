"""flush-off: end the flush with carbon dioxide."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Turn the flush off; one that is off already is noted."""
    part = action.parts[0]
    bench.set_word(part, "flush", "flush-off", f"{bench.label(part)} is off already")
    return None


VERB = Verb(
    name="flush-off",
    summary="Turn a carbon dioxide flush off and take its line off.",
    words=("turn", "stop", "close", "shut", "take", "remove"),
    does="turns {0} off",
    pairs=(("co2-flush",),),
    arity=Arity.EACH,
    effect=effect,
)
