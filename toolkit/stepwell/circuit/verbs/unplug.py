"""unplug: the console from the mains."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, OptionSpec, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Pull the plug; ``for`` is how long it is left on its battery before anything else is done."""
    part = action.parts[0]
    bench.set_word(part, "supply", "on-battery", f"{bench.label(part)} is not plugged in")
    bench.write(part, "mains", "mains-unproven")
    bench.lasts(action)
    return None


VERB = Verb(
    name="unplug",
    summary="Pull the console's plug, so that it runs on its battery; a stated time long enough proves the battery.",
    words=("unplug", "pull", "disconnect", "run", "take"),
    does="unplugs {0}",
    pairs=(("power",),),
    arity=Arity.EACH,
    effect=effect,
    options=(OptionSpec(name="for", takes="time", summary="how long it runs on battery before anything else"),),
)
