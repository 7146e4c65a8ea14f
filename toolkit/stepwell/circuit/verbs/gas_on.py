"""gas-on: the sweep gas."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, OptionSpec, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Turn the gas on; gas that is on already stays so and is noted, unless the action says ``ensure``."""
    part = action.parts[0]
    already = "" if action.option("ensure") is True else f"{bench.label(part)} is on already"
    bench.set_word(part, "gas", "gas-on", already)
    return None


VERB = Verb(
    name="gas-on",
    summary="Turn the sweep gas on.",
    words=("turn", "open", "set", "switch"),
    does="turns {0} on",
    pairs=(("gas-supply",),),
    arity=Arity.EACH,
    effect=effect,
    options=(OptionSpec(name="ensure", takes="flag", summary="no remark where it is on already"),),
)
