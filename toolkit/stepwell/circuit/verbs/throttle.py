"""throttle: a clamp."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Shut it partly. The way stays open, and how much flows and at what pressure is not known from then on."""
    part = action.parts[0]
    bench.set_word(part, "gate", "throttled", f"{bench.label(part)} is partly shut already")
    return None


VERB = Verb(
    name="throttle",
    summary="Shut a clamp partly: the way stays open, flow and pressure are not known.",
    words=("throttle", "narrow", "half-shut"),
    does="shuts {0} partly",
    pairs=(("clamp",),),
    arity=Arity.EACH,
    effect=effect,
)
