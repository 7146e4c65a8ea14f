"""gas-on: the sweep gas."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Turn the gas on."""
    part = action.parts[0]
    bench.set_word(part, "gas", "gas-on", f"{bench.label(part)} is on already")
    return None


VERB = Verb(
    name="gas-on",
    summary="Turn the sweep gas on.",
    words=("turn", "open", "set", "switch"),
    does="turns {0} on",
    pairs=(("gas-supply",),),
    arity=Arity.EACH,
    effect=effect,
)
