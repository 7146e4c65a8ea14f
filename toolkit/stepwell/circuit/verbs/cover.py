"""cover: an open end."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.circuit.layout import COVERED, FIRST_MATE
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Cover it; an end that is joined can't be covered."""
    part = action.parts[0]
    mate = bench.number(part, "mate")
    if mate >= FIRST_MATE:
        return f"{bench.label(part)} is joined to {bench.label(bench.layout.ends[mate - FIRST_MATE].part)}"
    if mate == COVERED:
        bench.already = f"{bench.label(part)} is covered already"
    bench.write_number(part, "mate", COVERED)
    return None


VERB = Verb(
    name="cover",
    summary="Cover an end that is joined to nothing.",
    words=("cover", "cap", "close"),
    does="covers {0}",
    pairs=(("end",),),
    arity=Arity.EACH,
    effect=effect,
)
