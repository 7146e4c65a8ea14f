"""wait: let what is under way come to its end."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, OptionSpec, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Let the stated time pass."""
    bench.lasts(action)
    return None


VERB = Verb(
    name="wait",
    summary="Wait for a stated time.",
    words=("wait", "allow", "let", "hold"),
    does="waits {for}",
    pairs=(),
    arity=Arity.NONE,
    effect=effect,
    options=(OptionSpec(name="for", takes="time", summary="how long", required=True),),
)
