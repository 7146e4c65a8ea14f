"""plug-in: the console into the mains."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.circuit.equipment import on_its_way
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Put the plug in. That it charges is another matter, which only the sign shows."""
    part, frame = action.parts[0], on_its_way(bench)
    if frame is not None:
        return f"no wall socket is in reach while {bench.label(frame.id)} is moving"
    bench.set_word(part, "supply", "on-mains", f"{bench.label(part)} is plugged in already")
    return None


VERB = Verb(
    name="plug-in",
    summary="Plug the console into the wall.",
    words=("plug", "connect", "put"),
    does="plugs {0} in",
    pairs=(("power",),),
    arity=Arity.EACH,
    effect=effect,
)
