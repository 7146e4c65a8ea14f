"""What each action writes, known beforehand: the variables that nothing but verbs change, and what is in them afterwards.

The contents of spaces and how air came into them, the counts of de-airing and the battery follow from whatever is open,
and are left out. Everything here is a claim about the verbs, so it can be wrong; ``contradicted`` holds it against what
actions really did, and nothing that rests on it is told unless all that was searched bears it out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import NamedTuple

from stepwell.circuit.layout import BARE, COVERED, FIRST_MATE, Layout, State
from stepwell.model.procedure import Action
from stepwell.model.quantity import Quantity
from stepwell.quantities.units import to

FOLLOWS = frozenset({"contents", "cycles", "ran", "spilt", "brim", "battery"})
"""Names of the variables that follow from the state of the circuit and are not (only) written by verbs."""


class Write(NamedTuple):
    """After the action the variable has one of ``values``; or, where not ``surely``, perhaps what it had before."""

    variable: int
    values: frozenset[int]
    surely: bool = True


def writes(layout: Layout, action: Action) -> tuple[Write, ...]:
    """What the action writes where it can be done. Raises KeyError for a verb that is not known."""
    return BY_VERB[action.verb](layout, action)


def turned(layout: Layout, actions: Iterable[Action]) -> dict[int, Write]:
    """What actions that are done at once write, by variable."""
    found: dict[int, Write] = {}
    for action in actions:
        for write in writes(layout, action):
            before = found.get(write.variable)
            if write.surely or before is None:
                found[write.variable] = write
            else:
                found[write.variable] = Write(write.variable, before.values | write.values, before.surely)
    return found


def contradicted(layout: Layout, before: State, actions: tuple[Action, ...], after: State) -> bool:
    """True if actions that were done changed, or left, a variable in another way than they were said to."""
    said = turned(layout, actions)
    for number, variable in enumerate(layout.variables):
        if variable.name in FOLLOWS:
            continue
        write = said.get(number)
        if write is None:
            right = after[number] == before[number]
        else:
            right = after[number] in write.values or (not write.surely and after[number] == before[number])
        if not right:
            return True
    return False


_Writes = Callable[[Layout, Action], tuple[Write, ...]]


def _words(variable: str, *words: str, surely: bool = True) -> _Writes:
    """Leaves the variable of the first part with one of these words (those of them that it has)."""

    def found(layout: Layout, action: Action) -> tuple[Write, ...]:
        return (_word(layout, action.parts[0], variable, *words, surely=surely),)

    return found


def _word(layout: Layout, part: str, variable: str, *words: str, surely: bool = True) -> Write:
    number = layout.variable(part, variable)
    known = layout.variables[number].words
    return Write(number, frozenset(known.index(word) for word in words if word in known), surely)


def _both(*each: _Writes) -> _Writes:
    return lambda layout, action: tuple(write for one in each for write in one(layout, action))


def _nothing(_layout: Layout, _action: Action) -> tuple[Write, ...]:
    return ()


def _turn(layout: Layout, action: Action) -> tuple[Write, ...]:
    return (_word(layout, action.parts[0], "position", str(action.option("to"))),)


def _run(layout: Layout, action: Action) -> tuple[Write, ...]:
    speed = action.option("at")
    rpm = int(to(speed, "rpm")) if isinstance(speed, Quantity) else 0
    return (Write(layout.variable(action.parts[0], "speed"), frozenset({rpm})),)


def _stop(layout: Layout, action: Action) -> tuple[Write, ...]:
    return (Write(layout.variable(action.parts[0], "speed"), frozenset({0})),)


def _join(layout: Layout, action: Action) -> tuple[Write, ...]:
    numbers = {end.part: number for number, end in enumerate(layout.ends)}
    first, second = action.parts
    return tuple(
        Write(layout.ends[numbers[one]].mate, frozenset({FIRST_MATE + numbers[other]}))
        for one, other in ((first, second), (second, first))
    )


def _part(layout: Layout, action: Action) -> tuple[Write, ...]:
    left = COVERED if action.option("covered") is True else BARE
    return tuple(Write(layout.end_of(part).mate, frozenset({left})) for part in action.parts)


def _cover(layout: Layout, action: Action) -> tuple[Write, ...]:
    return (Write(layout.end_of(action.parts[0]).mate, frozenset({COVERED})),)


def _move_head(layout: Layout, action: Action) -> tuple[Write, ...]:
    head, drive = action.parts
    seated = _word(layout, head, "seat", "seated")
    return (seated,) if layout.placed is None else (seated, _word(layout, head, "drive", drive))


def _connect_gas(layout: Layout, action: Action) -> tuple[Write, ...]:
    gas, source = action.parts
    return (_word(layout, gas, "source", source),)


BY_VERB: dict[str, _Writes] = {
    "open": _words("gate", "open"),
    "shut": _words("gate", "shut"),
    "throttle": _words("gate", "throttled"),
    "uncap": _words("gate", "off", "clear"),
    "cap": _words("gate", "on", "capped"),
    "swap-cap": _both(_words("gate", "on"), _words("sort", "sealed")),
    "turn": _turn,
    "join": _join,
    "part": _part,
    "cover": _cover,
    "hang": _words("hung", "hung"),
    "take-down": _words("hung", "lying"),
    "seat": _words("seat", "seated"),
    "move-head": _move_head,
    "plug": _words("cable", "plugged"),
    "fit": _words("fit", "fitted"),
    "run": _run,
    "stop": _stop,
    "zero": _words("zero", "zeroed", "falsely-zeroed"),
    "run-water": _words("water", "flowing"),
    "stop-water": _words("water", "still"),
    "inspect": _words("test", "leak-tested", "tested-wet"),
    "gas-on": _words("gas", "gas-on"),
    "gas-off": _words("gas", "gas-off"),
    "connect-gas": _connect_gas,
    "disconnect-gas": _words("source", "disconnected"),
    "flush-on": _words("flush", "flush-on"),
    "flush-off": _words("flush", "flush-off"),
    "suspend": _words("response", "suspended"),
    "silence": _words("sound", "silenced"),
    "restore": _both(_words("response", "live"), _words("sound", "audible")),
    "unplug": _both(_words("supply", "on-battery"), _words("mains", "mains-unproven")),
    "plug-in": _words("supply", "on-mains"),
    "see-charge": _words("mains", "mains-proven", surely=False),
    "depart": _words("place", "moving"),
    "arrive": _words("place", "arrived"),
    "check-kit": _words("kit", "ready"),
    "open-outer": _words("wrap", "outer-off", "on-field"),
    "take-inner": _words("wrap", "on-field"),
    "wait": _nothing,
}
