"""disconnect-gas: a gas supply from its gas source."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Take the supply's line off; one that is on no source is noted."""
    gas = action.parts[0]
    bench.set_word(gas, "source", "disconnected", f"{bench.label(gas)} is on no gas source")
    return None


VERB = Verb(
    name="disconnect-gas",
    summary="Take a gas supply off its gas source.",
    words=("disconnect", "take", "pull", "unplug", "move", "swap"),
    does="takes {0} off its gas source",
    pairs=(("gas-supply",),),
    arity=Arity.EACH,
    effect=effect,
)
