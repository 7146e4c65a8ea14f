"""stop: the pump."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, OptionSpec, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Stop the drive; ``for`` is how long it then stands still before anything else."""
    part = action.parts[0]
    if bench.number(part, "speed") == 0:
        bench.already = f"{bench.label(part)} stands still already"
    bench.write_number(part, "speed", 0)
    bench.lasts(action)
    return None


VERB = Verb(
    name="stop",
    summary="Stop the pump.",
    words=("stop",),
    does="stops {0}",
    pairs=(("drive",),),
    arity=Arity.EACH,
    effect=effect,
    options=(OptionSpec(name="for", takes="time", summary="how long it stands still before anything else"),),
)
