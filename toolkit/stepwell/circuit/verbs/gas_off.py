"""gas-off: the sweep gas."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Turn the gas off."""
    part = action.parts[0]
    bench.set_word(part, "gas", "gas-off", f"{bench.label(part)} is off already")
    return None


VERB = Verb(
    name="gas-off",
    summary="Turn the sweep gas off.",
    words=("turn", "close", "set", "switch"),
    does="turns {0} off",
    pairs=(("gas-supply",),),
    arity=Arity.EACH,
    effect=effect,
)
