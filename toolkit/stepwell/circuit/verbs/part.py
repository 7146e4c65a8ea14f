"""part: two joined ends (pull apart or cut between)."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, OptionSpec, Verb
from stepwell.circuit.layout import BARE, COVERED, FIRST_MATE
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Pull them apart; both ends are open from then on, unless they seal themselves (``covered: true``)."""
    numbers = {end.part: number for number, end in enumerate(bench.layout.ends)}
    first, second = (bench.layout.ends[numbers[part]] for part in action.parts)
    if bench.values[first.mate] != FIRST_MATE + numbers[second.part]:
        return f"{bench.label(first.part)} and {bench.label(second.part)} are not joined"
    left = COVERED if action.option("covered") is True else BARE
    bench.values[first.mate] = left
    bench.values[second.mate] = left
    return None


VERB = Verb(
    name="part",
    summary="Part two joined ends. `covered: true` where each end is covered in the same movement.",
    words=("part", "disconnect", "separate", "pull", "cut", "remove", "take"),
    does="parts {0} from {1}",
    pairs=(("end",), ("end",)),
    arity=Arity.PAIR,
    effect=effect,
    options=(OptionSpec(name="covered", takes="flag", summary="the ends seal or are covered in the same movement"),),
)
