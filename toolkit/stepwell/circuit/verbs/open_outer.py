"""open-outer: the outer wrap of a sterile pack."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Open the outer wrap; one that is open already is noted."""
    part = action.parts[0]
    if bench.word(part, "wrap") != "sealed":
        bench.already = f"the outer wrap of {bench.label(part)} is open already"
        return None
    bench.write(part, "wrap", "outer-off")
    return None


VERB = Verb(
    name="open-outer",
    summary="Open the outer wrap of a sterile pack without touching the inner one.",
    words=("open", "peel", "hold", "offer"),
    does="opens the outer wrap of {0}",
    pairs=(("sterile-pack",),),
    arity=Arity.EACH,
    effect=effect,
)
