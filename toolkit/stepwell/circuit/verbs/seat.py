"""seat: a pump head on its drive."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Seat it; a head can't be put on a drive that turns."""
    part = action.parts[0]
    pump = bench.layout.pump(tuple(bench.values))
    if pump is not None and bench.values[pump.speed] > 0:
        return f"{bench.label(pump.drive)} is turning"
    bench.set_word(part, "seat", "seated", f"{bench.label(part)} is seated already")
    return None


VERB = Verb(
    name="seat",
    summary="Seat a pump head on its drive.",
    words=("seat", "fit", "place", "lock"),
    does="seats {0} on its drive",
    pairs=(("pump-head",),),
    arity=Arity.EACH,
    effect=effect,
)
