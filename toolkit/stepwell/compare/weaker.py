"""Whether a change takes a safeguard away or makes it looser. In doubt it counts as weaker: the committee may disagree.

Each function takes the old and the new value of a field and returns sentences, one per safeguard that is less; none
if nothing is. Reading the model alone can't tell what a change leads to; verdicts and slips are compared besides.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable
from typing import Any

from stepwell.compare.logic import conjuncts, implies
from stepwell.compare.speak import Speaker
from stepwell.model.predicate import AllOf, Predicate
from stepwell.model.procedure import Action, Condition, Expectation, KitItem, Reading, Sight, Starts, Warn
from stepwell.model.quantity import Quantity
from stepwell.quantities.units import UnitMismatchError, dimension_of, to

Why = tuple[str, ...]
Test = Callable[[Any, Any, Speaker], Why]


def less(one: Quantity, other: Quantity) -> bool:
    """True if ``one`` is surely less; False where the two do not measure the same thing."""
    try:
        return to(one, other.unit) < float(other.value) - 1e-9
    except UnitMismatchError:
        return False


def looser_expectations(old: tuple[Expectation, ...], new: tuple[Expectation, ...], speak: Speaker) -> Why:
    """What was to be observed and no longer is, or only within a wider range."""
    why: list[str] = []
    demanded = AllOf(tuple(one.predicate for one in new if isinstance(one, Condition)))
    for one in old:
        if isinstance(one, Condition):
            why += [
                f"no longer asks that {speak.predicate(part)}"
                for part in conjuncts((one.predicate,))
                if not implies(demanded, part)
            ]
        elif isinstance(one, Reading):
            why += _wider(one, [other for other in new if isinstance(other, Reading) and other.part == one.part], speak)
    seen = [one for one in old if isinstance(one, Sight)]
    if len(seen) > sum(isinstance(one, Sight) for one in new):
        why += [f"no longer asks to {speak.thing(one)}" for one in seen if one not in new]
    return tuple(why)


def _wider(old: Reading, new: list[Reading], speak: Speaker) -> list[str]:
    name = speak.label(old.part)
    if not new:
        return [f"{name} is no longer read"]
    why: list[list[str]] = []
    for one in new:
        found: list[str] = []
        if old.at_least is not None and (one.at_least is None or less(one.at_least, old.at_least)):
            found.append(f"{name}: the lower limit is {one.at_least or 'gone'}, it was {old.at_least}")
        if old.at_most is not None and (one.at_most is None or less(old.at_most, one.at_most)):
            found.append(f"{name}: the upper limit is {one.at_most or 'gone'}, it was {old.at_most}")
        why.append(found)
    return min(why, key=len)


def looser_predicates(old: tuple[Predicate, ...], new: tuple[Predicate, ...], speak: Speaker) -> Why:
    """Conditions that were demanded and that the new ones do not bring."""
    return tuple(
        f"no longer asks that {speak.predicate(part)}" for part in conjuncts(old) if not implies(AllOf(tuple(new)), part)
    )


def gone(what: str) -> Test:
    """Weaker if there was something and there is nothing."""
    return lambda old, new, _: (f"{what} is taken away",) if old and not new else ()


def fewer(what: str) -> Test:
    """Weaker if something of a list is not in it any more."""

    def test(old: Any, new: Any, speak: Speaker) -> Why:
        missing = [one for one in old or () if one not in (new or ())]
        if len(old or ()) <= len(new or ()) and not all(isinstance(one, str) and " " not in one for one in missing):
            return ()
        return tuple(
            f"{what} {speak.roles.get(one, speak.value(one)) if isinstance(one, str) else speak.value(one)}"
            for one in missing
        )

    return test


def lower(what: str) -> Test:
    """Weaker if a number is lower."""
    return lambda old, new, _: (f"{what} falls from {old} to {new}",) if _number(new) < _number(old) else ()


def higher(what: str) -> Test:
    """Weaker if a number is higher."""
    return lambda old, new, _: (f"{what} rises from {old} to {new}",) if _number(new) > _number(old) else ()


def _number(value: Any) -> float:
    found = re.match(r"\d+(?:\.\d+)?", str(value if value is not None else 0))
    return float(found[0]) if found else 0.0


def looser_warnings(old: tuple[Warn, ...], new: tuple[Warn, ...], _: Speaker) -> Why:
    """Fewer warnings, or a lower severity."""
    ranks = {"minor": 1, "serious": 2, "fatal": 3}
    if len(new) < len(old):
        return ("a warning is taken away",)
    worst = [max((ranks.get(one.severity, 0) for one in side), default=0) for side in (old, new)]
    return ("the warning is called less severe",) if worst[1] < worst[0] else ()


def fewer_actions(old: tuple[Action, ...], new: tuple[Action, ...], speak: Speaker) -> Why:
    """An action that is no longer done, or a time that is shorter."""
    why: list[str] = []
    done = Counter((one.verb, one.parts) for one in new)
    for one in old:
        if not done[one.verb, one.parts]:
            why.append(f"no longer done: {speak.action(one)}")
            continue
        done[one.verb, one.parts] -= 1
        other = next(two for two in new if (two.verb, two.parts) == (one.verb, one.parts))
        before, after = one.option("for"), other.option("for")
        if isinstance(before, Quantity) and (not isinstance(after, Quantity) or less(after, before)):
            why.append(f"{speak.action(one)} is shorter: {after or 'no time stated'}")
        if one.option("wet") and not other.option("wet"):
            why.append("no longer joined wet")
    return tuple(why)


def fewer_kit(old: tuple[KitItem, ...], new: tuple[KitItem, ...], _: Speaker) -> Why:
    """Something that is no longer fetched, or less of it."""
    there = {one.name: one for one in new}
    why: list[str] = []
    for one in old:
        other = there.get(one.name)
        if other is None and len(new) < len(old):
            why.append(f"{one.name}: no longer fetched")
        elif other is not None and _number(other.amount) < _number(one.amount):
            why.append(f"{one.name}: {other.amount} instead of {one.amount}")
    return tuple(why)


def fewer_starts(old: Starts | None, new: Starts | None, speak: Speaker) -> Why:
    """States that it may no longer start from, so that they are no longer checked."""
    if old is None or new is None:
        return () if old is None else ("the start is no longer stated, so orders are checked from the defaults",)
    why: list[str] = []
    left = dict(new.open_settings)
    for part, words in old.open_settings:
        lost = [word for word in words if word not in left.get(part, ())]
        if lost:
            why.append(f"no longer checked from {speak.label(part)}: {', '.join(lost)}")
    return tuple(why)


def shorter(what: str) -> Test:
    """Weaker if a time or an order is no longer demanded."""
    return lambda old, new, _: (f"{what}",) if set(old or ()) - set(new or ()) else ()


def looser_until(old: Any, new: Any, speak: Speaker) -> Why:
    """``until`` of a hold (expectations) or of a repeat (a condition)."""
    if isinstance(old, tuple):
        return looser_expectations(old, new or (), speak)
    return looser_predicates((old,), (new,), speak)


def turned_on(what: str) -> Test:
    """Weaker if it was not so and now is."""
    return lambda old, new, _: (what,) if new and not old else ()


def turned_off(what: str) -> Test:
    """Weaker if it was so and no longer is."""
    return lambda old, new, _: (what,) if old and not new else ()


def other(what: str) -> Test:
    """Weaker if it is another."""
    return lambda old, new, _: (what,) if old and old != new else ()


def narrowed(old: Any, new: Any, speak: Speaker) -> Why:
    """``when`` of an answer: None is any state."""
    if new is None or (old is not None and implies(old, new)):
        return ()
    return (f"is now only for: {speak.predicate(new)}",)


def same_dimension(one: Quantity, other: Quantity) -> bool:
    """Whether two quantities measure the same thing."""
    return dimension_of(one.unit) == dimension_of(other.unit)
