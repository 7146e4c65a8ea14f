"""The verbs, in the order in which documentation lists them."""

from __future__ import annotations

from stepwell.circuit.entry import Verb
from stepwell.circuit.verbs import (
    cap,
    cover,
    fit,
    gas_off,
    gas_on,
    hang,
    inspect,
    join,
    open,
    part,
    plug,
    restore,
    run,
    run_water,
    seat,
    shut,
    stop,
    stop_water,
    suspend,
    take_down,
    turn,
    uncap,
    wait,
    zero,
)

VERBS: tuple[Verb, ...] = (
    open.VERB,
    shut.VERB,
    uncap.VERB,
    cap.VERB,
    turn.VERB,
    join.VERB,
    part.VERB,
    cover.VERB,
    hang.VERB,
    take_down.VERB,
    seat.VERB,
    plug.VERB,
    fit.VERB,
    run.VERB,
    stop.VERB,
    zero.VERB,
    run_water.VERB,
    stop_water.VERB,
    inspect.VERB,
    gas_on.VERB,
    gas_off.VERB,
    suspend.VERB,
    restore.VERB,
    wait.VERB,
)

_BY_NAME = {verb.name: verb for verb in VERBS}


def verb(name: str) -> Verb | None:
    """The verb of this name, or None."""
    return _BY_NAME.get(name)
