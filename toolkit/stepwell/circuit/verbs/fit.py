"""fit: a sensor on its line."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Put it on the line that the rig names as its site."""
    part = action.parts[0]
    bench.set_word(part, "fit", "fitted", f"{bench.label(part)} is on its line already")
    return None


VERB = Verb(
    name="fit",
    summary="Fit a flow sensor or a bubble sensor on its line.",
    words=("fit", "clip", "put", "place"),
    does="fits {0} on its line",
    pairs=(("flow-sensor", "bubble-sensor"),),
    arity=Arity.EACH,
    effect=effect,
)
