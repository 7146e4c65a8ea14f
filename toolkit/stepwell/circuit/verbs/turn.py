"""turn: a three-way tap."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, OptionSpec, Verb
from stepwell.circuit.parts.tap import POSITIONS
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Turn it to the position of the option ``to``; one that is there already is noted."""
    part = action.parts[0]
    to = str(action.option("to"))
    bench.set_word(part, "position", to, f"{bench.label(part)} is at {to} already")
    bench.lasts(action)
    return None


VERB = Verb(
    name="turn",
    summary="Turn a three-way tap: off, line, air, or all ways open.",
    words=("turn", "open", "shut", "close", "bleed"),
    does="turns {0} to {to}",
    pairs=(("tap",),),
    arity=Arity.EACH,
    effect=effect,
    options=(
        OptionSpec(name="to", takes="word", summary="the position", choices=POSITIONS, required=True),
        OptionSpec(name="for", takes="time", summary="how long it is left so before anything else"),
    ),
)
