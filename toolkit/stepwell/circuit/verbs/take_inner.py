"""take-inner: the inner part of a sterile pack onto the field."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Take it; through a sealed outer wrap nobody can."""
    part = action.parts[0]
    if bench.word(part, "wrap") == "sealed":
        return f"the outer wrap of {bench.label(part)} is not open"
    bench.set_word(part, "wrap", "on-field", f"{bench.label(part)} lies on the field already")
    return None


VERB = Verb(
    name="take-inner",
    summary="Take the inner part of a sterile pack onto the sterile field. This hands the set over.",
    words=("take", "receive", "lift", "draw"),
    does="takes {0} onto the field",
    pairs=(("sterile-pack",),),
    arity=Arity.EACH,
    effect=effect,
)
