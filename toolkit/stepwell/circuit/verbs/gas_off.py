"""gas-off: the sweep gas."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, OptionSpec, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Turn the gas off; gas that is off already stays so and is noted, unless the action says ``ensure``."""
    part = action.parts[0]
    already = "" if action.option("ensure") is True else f"{bench.label(part)} is off already"
    bench.set_word(part, "gas", "gas-off", already)
    return None


VERB = Verb(
    name="gas-off",
    summary="Turn the sweep gas off.",
    words=("turn", "close", "set", "switch"),
    does="turns {0} off",
    pairs=(("gas-supply",),),
    arity=Arity.EACH,
    effect=effect,
    options=(OptionSpec(name="ensure", takes="flag", summary="no remark where it is off already"),),
)
