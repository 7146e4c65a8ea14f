"""stop-water: through the heat exchanger."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Stop the water."""
    part = action.parts[0]
    bench.set_word(part, "water", "still", f"{bench.label(part)} stands still already")
    return None


VERB = Verb(
    name="stop-water",
    summary="Stop the water through the heat exchanger.",
    words=("stop", "switch"),
    does="stops {0}",
    pairs=(("water-circuit",),),
    arity=Arity.EACH,
    effect=effect,
)
