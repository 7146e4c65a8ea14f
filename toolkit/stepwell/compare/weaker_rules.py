"""Whether a rule, a waiver or a policy lets more pass than before."""

from __future__ import annotations

from dataclasses import fields
from datetime import date
from typing import Any

from stepwell.compare.logic import implies
from stepwell.compare.speak import Speaker
from stepwell.compare.weaker import Why, less
from stepwell.model.predicate import AllOf, AnyOf, Fact, Not, Quantified, Selector
from stepwell.model.quantity import Quantity

_FORBIDDEN = ("state", "event", "of", "that")
"""Fields of a shape that say what must not be: a rule is looser where they say less."""
_DEMANDED = ("require", "unless", "comes")
"""Fields that say what must be."""


def looser_shape(old: Any, new: Any, speak: Speaker) -> Why:
    """The shape of a rule: what it forbids, what it demands, how long it allows."""
    if type(old) is not type(new):
        return ("it now looks at something else",)
    why: list[str] = []
    for field in fields(old):
        before, after = getattr(old, field.name), getattr(new, field.name)
        if before == after or not field.compare:
            continue
        name = field.name.replace("_", " ")
        match before, after:
            case Quantity(), Quantity():
                if not less(after, before):
                    why.append(f"{name}: {after} instead of {before}")
            case bool(), bool():
                if before:
                    why.append(f"{name}: no longer")
            case ((Fact() | Not() | AllOf() | AnyOf() | Quantified()), (Fact() | Not() | AllOf() | AnyOf() | Quantified())):
                stronger = implies(before, after) if field.name in _FORBIDDEN else implies(after, before)
                if not stronger:
                    how = "no longer forbids" if field.name in _FORBIDDEN else "no longer demands"
                    why.append(f"{how} all of: {speak.predicate(before)}")
            case _:
                why.append(f"{name} is another")
    return tuple(why)


def narrower_context(old: Any, new: Any, speak: Speaker) -> Why:
    """``when`` of a rule: it is looser where it applies less often."""
    return () if implies(old, new) else (f"applies only while {speak.predicate(new)}",)


def narrower_parts(old: tuple[tuple[str, Selector], ...], new: tuple[tuple[str, Selector], ...], _: Speaker) -> Why:
    """``for-every``: looser where it looks at fewer parts."""
    before, after = dict(old), dict(new)
    if not before:
        return ("looks only where there is such a part",)
    why: list[str] = []
    for name in before.keys() | after.keys():
        one, other = before.get(name), after.get(name)
        if one is None or other is None:
            why.append(f"looks at other parts ({name})")
        elif (
            other.kind not in (None, one.kind)
            or set(other.traits) - set(one.traits)
            or set(other.without) - set(one.without)
        ):
            why.append(f"looks at fewer parts ({name})")
    return tuple(sorted(why))


def fewer_procedures(old: tuple[str, ...], new: tuple[str, ...], _: Speaker) -> Why:
    """``procedures``: empty means all kinds."""
    lost = new and (not old or set(old) - set(new))
    return (f"looks only at {', '.join(new)} procedures",) if lost else ()


def milder(old: Any, new: Any, _: Speaker) -> Why:
    """A lower severity."""
    return (f"called {new.word} instead of {old.word}",) if old is not None and new is not None and new < old else ()


def less_certain(old: Any, new: Any, _: Speaker) -> Why:
    """Harm that will follow is now said to be possible."""
    return ("harm is called only possible",) if str(old) == "will" and str(new) != "will" else ()


def later(old: Any, new: Any, _: Speaker) -> Why:
    """A waiver that lasts longer; None is for ever."""
    longer = new is None or (isinstance(old, date) and isinstance(new, date) and new > old)
    return (f"lasts until {new or 'further notice'} instead of {old}",) if longer and old is not None else ()


def more_roles(old: tuple[str, ...], new: tuple[str, ...], speak: Speaker) -> Why:
    """Roles for which a person may now approve."""
    return tuple(f"may now approve as {speak.roles.get(one, one)}" for one in new if one not in old)


def fewer_seats(old: Any, new: Any, speak: Speaker) -> Why:
    """Fewer approvals than before, by role."""
    there = {seat.role: seat.count for seat in new or ()}
    return tuple(
        f"{there.get(seat.role, 0)} instead of {seat.count} approvals by {speak.roles.get(seat.role, seat.role)}"
        for seat in old or ()
        if there.get(seat.role, 0) < seat.count
    )


def wider_waiver(old: Any, new: Any, _: Speaker) -> Why:
    """A waiver that was for one step or procedure and is for another or for all."""
    return ("covers something else, or more",) if old != new else ()
