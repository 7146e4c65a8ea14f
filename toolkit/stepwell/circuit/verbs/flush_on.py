"""flush-on: carbon dioxide into a dry set."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, OptionSpec, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Turn the flush on; ``for`` is how long it runs before anything else is done."""
    part = action.parts[0]
    bench.set_word(part, "flush", "flush-on", f"{bench.label(part)} is on already")
    bench.lasts(action)
    return None


VERB = Verb(
    name="flush-on",
    summary="Turn a carbon dioxide flush on, for a time if one is stated; it goes on until it is turned off.",
    words=("flush", "turn", "start", "open"),
    does="turns {0} on",
    pairs=(("co2-flush",),),
    arity=Arity.EACH,
    effect=effect,
    options=(OptionSpec(name="for", takes="time", summary="how long it runs before anything else"),),
)
