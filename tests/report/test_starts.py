"""Where a procedure starts: a baseline, what it leaves open, or the real end states of another procedure."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest

from stepwell.circuit.compile_rig import compile_rig
from stepwell.model.procedure import Action, Choose, Outcome, Procedure, Stage, Starts, Step
from stepwell.model.rig import Setting
from stepwell.model.workspace import Workspace
from stepwell.orders.search import Bounds
from stepwell.report.check import known_starts
from stepwell.report.results import Status
from stepwell.report.starts import UnknownStartError, start_states
from tests.circuit.test_settle import quantity
from tests.demo import checked, procedure, rig, status, workspace

RUN = Action(verb="run", parts=("pump",), options=(("at", quantity("1200 rpm")), ("for", quantity("1 min"))))


def short(starts: Starts, *do: Action) -> Procedure:
    """One step on the rig of the priming procedure."""
    step = Step(id="z9zz", who="assistant", say=(), do=do)
    return replace(procedure(), id="after-prime", starts=starts, ends=(), body=(Stage(title="Only", body=(step,)),), path="")


def with_it(found: Procedure) -> Workspace:
    return replace(workspace(), procedures=(*workspace().procedures, found))


def test_a_hand_over_holds_from_the_real_end_states() -> None:
    found = short(Starts(procedure="prime-adult"), RUN)
    report = checked(found, with_it(found))
    assert report.complete
    assert status(report, "air-left-in-circuit") is Status.HOLDS
    assert status(report, "pump-run-dry") is Status.HOLDS
    dry = short(Starts(baseline="unpacked", settings=(Setting(part="pump-head", word="seated"),)), RUN)
    assert status(checked(dry, with_it(dry)), "pump-run-dry") is Status.VIOLATED


def test_a_start_that_is_not_known_decides_nothing() -> None:
    for starts in (Starts(procedure="connect-va"), Starts(procedure="after-prime"), Starts(procedure="nowhere")):
        found = short(starts, RUN)
        report = checked(found, with_it(found))
        assert not report.complete
        statuses = {verdict.status for verdict in report.verdicts}
        assert Status.HOLDS not in statuses
        assert Status.NOT_DECIDED in statuses


def test_what_is_left_open_is_explored_both_ways() -> None:
    layout = compile_rig(rig())
    starts = Starts(baseline="unpacked", open_settings=(("oxy-vent", ("open", "shut")), ("prime-clamp", ("open", "shut"))))
    assert len(start_states(layout, short(starts, RUN))) == 4


def either() -> Procedure:
    """A card with two ends: the prime clamp is left as it is, or opened."""
    opens = Step(id="o9pn", who="primer", say=(), do=(Action(verb="open", parts=("prime-clamp",)),))
    answers = (Outcome(label="leave it"), Outcome(label="open it", body=(opens,)))
    asked = Choose(id="q9qq", question=(), who="primer", outcomes=answers)
    starts = Starts(baseline="unpacked", settings=(Setting(part="prime-clamp", word="shut"),))
    return replace(procedure(), id="either", starts=starts, ends=(), body=(asked,), path="")


def starts_behind(before: Procedure, bounds: Bounds) -> set[str]:
    """The words of the prime clamp in the states from which a card starts that begins where another ends."""
    found = short(Starts(procedure=before.id), RUN)
    unit = replace(workspace(), procedures=(before, found))
    layout = compile_rig(rig())
    gate = layout.variable("prime-clamp", "gate")
    states = known_starts(unit, found, rig(), clock=time.monotonic, bounds=bounds)
    return {layout.variables[gate].words[state[gate]] for state in states}


def test_every_end_of_the_card_before_is_a_start() -> None:
    assert starts_behind(either(), Bounds()) == {"open", "shut"}


def test_the_ends_of_a_search_that_was_cut_short_are_no_starts() -> None:
    """With three places one end is found and the other is not: nothing may be said of what comes after."""
    with pytest.raises(UnknownStartError, match="not every end of either could be found"):
        starts_behind(either(), Bounds(states=3))
