"""Where a missing action is put: by hand one would do it there too."""

from __future__ import annotations

import time
from dataclasses import replace
from datetime import date

from stepwell.model.bodies import each_leaf
from stepwell.model.procedure import Hold, Item, Procedure, Step
from stepwell.repairs.changes import AddStep
from stepwell.repairs.search import mends_of
from tests.demo import procedure, workspace


def without(found: Procedure, *names: str) -> Procedure:
    def left(leaf: Step | Hold) -> Item | None:
        return None if leaf.id in names else leaf

    return replace(found, body=each_leaf(found.body, left))


def added(card: str, rule: str, *left_out: str) -> list[tuple[str, tuple[str, ...], str, bool]]:
    """(verb, parts, step beside it, before that step) of the steps that the repair of the card adds."""
    after = without(procedure(card), *left_out)
    others = tuple(after if one.id == card else one for one in workspace().procedures)
    unit = replace(workspace(), procedures=others)
    found = mends_of(unit, after, as_of=date(2026, 11, 28), clock=time.monotonic, only=lambda key: key[0] == rule)
    changes = [change for mend in found for change in mend.changes]
    assert changes
    return [
        (one.step.do[0].verb, tuple(part for action in one.step.do for part in action.parts), one.anchor, one.before)
        for one in changes
        if isinstance(one, AddStep)
    ]


def test_forgotten_clamps_go_on_behind_the_stopping_of_the_pump_and_not_before_it() -> None:
    """Before it the pump would turn against them; the last step before the loop is parted is the stop."""
    found = added("connect-va", "parted-with-a-side-open", "b7mx", "p2bh")
    assert found == [("shut", ("drain-clamp", "return-clamp"), "c2wq", True)]


def test_in_an_emergency_the_clamp_may_go_on_while_the_pump_turns() -> None:
    found = added("air-in-circuit", "patient-not-isolated-first", "a8qk", "a9lk")
    assert ("shut", ("return-cannula-clamp",)) in [one[:2] for one in found]
    assert found[0][2:] == ("b4xt", True)
