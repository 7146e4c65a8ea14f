"""arrive: the frame has reached its new place."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Park it at its new place; one that never set off can't arrive."""
    part = action.parts[0]
    if bench.word(part, "place") == "parked":
        return f"{bench.label(part)} has not set off"
    bench.set_word(part, "place", "arrived", f"{bench.label(part)} has arrived already")
    return None


VERB = Verb(
    name="arrive",
    summary="Arrive with the frame and the patient, and park it.",
    words=("arrive", "park", "stop", "bring", "set", "put", "reach"),
    does="arrives with {0}",
    pairs=(("frame",),),
    arity=Arity.EACH,
    effect=effect,
)
