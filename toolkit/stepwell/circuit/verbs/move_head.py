"""move-head: the pump head from its drive to another."""

from __future__ import annotations

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, Verb
from stepwell.circuit.hammer import hammered
from stepwell.model.procedure import Action


def effect(bench: Bench, action: Action) -> str | None:
    """Seat it on the other drive, which must stand still. The old one turns it no longer, even if it goes on turning."""
    head, drive = action.parts
    if bench.layout.space_of[head] not in {pump.head for pump in bench.layout.pumps if pump.drive == drive}:
        return f"{bench.label(head)} does not fit {bench.label(drive)}"
    before = tuple(bench.values)
    now = bench.layout.pump(before)
    if now is not None and now.drive == drive and bench.word(head, "seat") == "seated":
        bench.already = f"{bench.label(head)} sits on {bench.label(drive)} already"
        return None
    if bench.number(drive, "speed") > 0:
        return f"{bench.label(drive)} is turning"
    if bench.layout.placed is not None:
        bench.write(head, "drive", drive)
    bench.write(head, "seat", "seated")
    after = tuple(bench.values)
    bench.happens("hammered", head, hammered(bench.layout, before, bench.view.water, after))
    return None


VERB = Verb(
    name="move-head",
    summary="Take the pump head off its drive and seat it on another one.",
    words=("move", "put", "seat", "transfer", "lift"),
    does="moves {0} to {1}",
    pairs=(("pump-head",), ("drive",)),
    arity=Arity.PAIR,
    effect=effect,
)
