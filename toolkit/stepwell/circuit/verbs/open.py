"""open: a clamp, a vent, or the valve of a gas source."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, OptionSpec, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Open it; one that is open already stays so and is noted, unless the action says ``ensure``."""
    part = action.parts[0]
    already = "" if action.option("ensure") is True else f"{bench.label(part)} is open already"
    bench.set_word(part, "gate", "open", already)
    return None


VERB = Verb(
    name="open",
    summary="Open a clamp or the valve of a gas source, or uncover a vent.",
    words=("open", "unclamp", "release", "uncover"),
    does="opens {0}",
    pairs=(("clamp", "vent", "gas-source"),),
    arity=Arity.EACH,
    effect=effect,
    options=(OptionSpec(name="ensure", takes="flag", summary="no remark where it is open already"),),
)
