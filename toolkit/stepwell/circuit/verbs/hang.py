"""hang: a bag on its hook."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Hang it at the height that the rig states."""
    part = action.parts[0]
    bench.set_word(part, "hung", "hung", f"{bench.label(part)} hangs already")
    return None


VERB = Verb(
    name="hang",
    summary="Hang a bag on its hook, at the height that the rig states.",
    words=("hang",),
    does="hangs {0}",
    pairs=(("bag",),),
    arity=Arity.EACH,
    effect=effect,
)
