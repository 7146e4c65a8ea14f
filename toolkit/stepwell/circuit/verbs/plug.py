"""plug: the cable of a pressure sensor."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Connect its cable."""
    part = action.parts[0]
    bench.set_word(part, "cable", "plugged", f"{bench.label(part)} is plugged in already")
    return None


VERB = Verb(
    name="plug",
    summary="Connect the cable of a pressure sensor.",
    words=("plug", "connect"),
    does="plugs in {0}",
    pairs=(("pressure-sensor",),),
    arity=Arity.EACH,
    effect=effect,
)
