"""open: a clamp, a vent, or the valve of a gas source."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Open it; one that is open already stays so and is noted."""
    part = action.parts[0]
    bench.set_word(part, "gate", "open", f"{bench.label(part)} is open already")
    return None


VERB = Verb(
    name="open",
    summary="Open a clamp or the valve of a gas source, or uncover a vent.",
    words=("open", "unclamp", "release", "uncover"),
    does="opens {0}",
    pairs=(("clamp", "vent", "gas-source"),),
    arity=Arity.EACH,
    effect=effect,
)
