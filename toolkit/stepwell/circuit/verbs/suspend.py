"""suspend: an automatic response."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Switch it off for the moment."""
    part = action.parts[0]
    bench.set_word(part, "response", "suspended", f"{bench.label(part)} is suspended already")
    return None


VERB = Verb(
    name="suspend",
    summary="Suspend an automatic response.",
    words=("suspend", "switch"),
    does="suspends {0}",
    pairs=(("response",),),
    arity=Arity.EACH,
    effect=effect,
)
