"""depart: the frame sets off."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.circuit.equipment import parts_of, source_of
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Set off. Nothing may hold it to the wall: neither a hose of piped gas nor the plug."""
    part = action.parts[0]
    for gas in parts_of(bench.layout, "gas-supply"):
        source = source_of(bench, gas.id)
        if source is not None and source.word("store") == "piped":
            return f"{bench.label(gas.id)} is still on {bench.label(source.id)}"
    for power in parts_of(bench.layout, "power"):
        if bench.word(power.id, "supply") == "on-mains":
            return f"{bench.label(power.id)} is still plugged in"
    bench.set_word(part, "place", "moving", f"{bench.label(part)} is moving already")
    return None


VERB = Verb(
    name="depart",
    summary="Set off with the frame and the patient.",
    words=("depart", "leave", "set", "move", "go", "start", "push"),
    does="sets off with {0}",
    pairs=(("frame",),),
    arity=Arity.EACH,
    effect=effect,
)
