"""check-kit: see that a back-up is to hand."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """See that it is there and whole; one that was checked already is noted."""
    part = action.parts[0]
    bench.set_word(part, "kit", "ready", f"{bench.label(part)} was checked already")
    return None


VERB = Verb(
    name="check-kit",
    summary="See that a back-up is to hand and whole.",
    words=("check", "see", "count", "look", "lay", "tie", "put"),
    does="checks {0}",
    pairs=(("backup",),),
    arity=Arity.EACH,
    effect=effect,
)
