"""connect-gas: a gas supply to a gas source."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.circuit.equipment import on_its_way, source_of
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Put the supply's line on the source; it comes off another one first."""
    gas, source = action.parts
    here = source_of(bench, gas)
    if here is not None and here.id == source:
        bench.already = f"{bench.label(gas)} is on {bench.label(source)} already"
        return None
    if here is not None:
        return f"{bench.label(gas)} is still on {bench.label(here.id)}; take it off first"
    wanted, frame = bench.layout.rig.part(source), on_its_way(bench)
    if wanted is not None and wanted.word("store") == "piped" and frame is not None:
        return f"{bench.label(source)} is out of reach while {bench.label(frame.id)} is moving"
    bench.write(gas, "source", source)
    return None


VERB = Verb(
    name="connect-gas",
    summary="Connect a gas supply to a gas source.",
    words=("connect", "push", "put", "attach", "plug", "move", "swap"),
    does="connects {0} to {1}",
    pairs=(("gas-supply",), ("gas-source",)),
    arity=Arity.PAIR,
    effect=effect,
)
