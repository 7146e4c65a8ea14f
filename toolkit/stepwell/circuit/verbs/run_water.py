"""run-water: through the heat exchanger."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Let the water run."""
    part = action.parts[0]
    bench.set_word(part, "water", "flowing", f"{bench.label(part)} runs already")
    return None


VERB = Verb(
    name="run-water",
    summary="Run water through the heat exchanger.",
    words=("run", "start", "switch"),
    does="runs {0}",
    pairs=(("water-circuit",),),
    arity=Arity.EACH,
    effect=effect,
)
