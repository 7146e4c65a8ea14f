"""join: two ends."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.brim import filled_to_the_brim
from stepwell.circuit.contents import LIQUID, WET, within
from stepwell.circuit.entry import Arity, OptionSpec, Verb
from stepwell.circuit.hydraulics import contents_of
from stepwell.circuit.layout import FIRST_MATE
from stepwell.model.procedure import Action
from stepwell.model.tri import disjunction


def effect(bench: Bench, action: Action) -> str | None:
    """Join them if both are free and fit.

    Joined dry, liquid on either side takes in air. Joined wet, both ends were dripped full to the brim and pushed together
    under liquid: the air that had come in by them is gone, and no other.
    """
    numbers = {end.part: number for number, end in enumerate(bench.layout.ends)}
    first, second = (bench.layout.ends[numbers[part]] for part in action.parts)
    for end in (first, second):
        mate = bench.values[end.mate]
        if mate >= FIRST_MATE:
            other = bench.layout.ends[mate - FIRST_MATE].part
            if {end.part, other} == {first.part, second.part}:
                bench.already = f"{bench.label(first.part)} and {bench.label(second.part)} are joined already"
                return None
            return f"{bench.label(end.part)} is joined to {bench.label(other)}"
    if first.fits != second.fits:
        return f"{bench.label(first.part)} does not fit {bench.label(second.part)}"
    bench.values[first.mate] = FIRST_MATE + numbers[second.part]
    bench.values[second.mate] = FIRST_MATE + numbers[first.part]
    wet = action.option("wet") is True
    if not wet:
        held = (contents_of(bench.layout, bench.view.state, end.space) for end in (first, second))
        dry = disjunction(within(mask, LIQUID) for mask in held)
        for end in (first, second):
            bench.happens("joined-dry", end.part, dry)
    for end in (first, second):
        space = bench.layout.spaces[end.space]
        if space.contents is None or space.kind in ("bag", "vein", "artery"):
            continue
        mask = bench.values[space.contents]
        if wet:
            bench.values[space.contents] = filled_to_the_brim(bench.values, end, mask)
        elif mask & LIQUID:
            bench.values[space.contents] = mask & ~LIQUID | WET
    return None


VERB = Verb(
    name="join",
    summary="Join two ends; a cover on one comes off with it. "
    "`wet: true` where both are filled to the brim and pushed together under liquid.",
    words=("join", "connect", "push", "spike", "attach"),
    does="joins {0} and {1}",
    pairs=(("end",), ("end",)),
    arity=Arity.PAIR,
    effect=effect,
    options=(OptionSpec(name="wet", takes="flag", summary="joined with both ends full, so that no air is trapped"),),
)
