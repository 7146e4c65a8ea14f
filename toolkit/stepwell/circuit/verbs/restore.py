"""restore: an automatic response."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Make it live again."""
    part = action.parts[0]
    bench.set_word(part, "response", "live", f"{bench.label(part)} is live already")
    return None


VERB = Verb(
    name="restore",
    summary="Restore an automatic response, so that it acts by itself again.",
    words=("restore", "switch"),
    does="restores {0}",
    pairs=(("response",),),
    arity=Arity.EACH,
    effect=effect,
)
