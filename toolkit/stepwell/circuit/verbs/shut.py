"""shut: a clamp, a vent, or the valve of a gas source."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, OptionSpec, Verb
from stepwell.circuit.hammer import hammered
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Shut it; one that is shut already stays so and is noted, unless the action says ``ensure``."""
    part = action.parts[0]
    before = tuple(bench.values)
    already = "" if action.option("ensure") is True else f"{bench.label(part)} is shut already"
    bench.set_word(part, "gate", "shut", already)
    after = tuple(bench.values)
    bench.happens("hammered", part, hammered(bench.layout, before, bench.view.water, after, clamp=part))
    return None


VERB = Verb(
    name="shut",
    summary="Shut a clamp or the valve of a gas source, or cover a vent.",
    words=("shut", "close", "clamp", "cover"),
    does="shuts {0}",
    pairs=(("clamp", "vent", "gas-source"),),
    arity=Arity.EACH,
    effect=effect,
    options=(OptionSpec(name="ensure", takes="flag", summary="no remark where it is shut already"),),
)
