"""silence: the sound of an automatic response."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Turn its sound off. It acts as before, only nobody hears it."""
    part = action.parts[0]
    bench.set_word(part, "sound", "silenced", f"{bench.label(part)} is silenced already")
    return None


VERB = Verb(
    name="silence",
    summary="Turn off the sound of an automatic response; it goes on acting.",
    words=("silence", "mute", "pause", "turn"),
    does="silences {0}",
    pairs=(("response",),),
    arity=Arity.EACH,
    effect=effect,
)
