"""swap-cap: a sealed cap for the one that is on."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Take off what is on and put a sealed cap on. For that moment the port is open, and what follows from that happens."""
    part = action.parts[0]
    if bench.word(part, "gate") == "on" and bench.word(part, "sort") == "sealed":
        bench.already = f"a sealed cap is on {bench.label(part)} already"
    bench.write(part, "gate", "off")
    bench.settle()
    bench.write(part, "gate", "on")
    bench.write(part, "sort", "sealed")
    return None


VERB = Verb(
    name="swap-cap",
    summary="Put a sealed cap in the place of a cap; the port is open for that moment.",
    words=("swap", "change", "replace", "exchange"),
    does="changes {0} for a sealed one",
    pairs=(("cap",),),
    arity=Arity.EACH,
    effect=effect,
)
