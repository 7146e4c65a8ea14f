"""restore: an automatic response."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Make it live and audible again."""
    part = action.parts[0]
    if bench.word(part, "response") == "live" and bench.word(part, "sound") == "audible":
        bench.already = f"{bench.label(part)} is live already"
    bench.write(part, "response", "live")
    bench.write(part, "sound", "audible")
    return None


VERB = Verb(
    name="restore",
    summary="Restore an automatic response, so that it acts by itself again and its alarm is heard.",
    words=("restore", "switch", "unmute"),
    does="restores {0}",
    pairs=(("response",),),
    arity=Arity.EACH,
    effect=effect,
)
