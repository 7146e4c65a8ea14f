"""A repair adds and moves; whatever was asked for, waited for or agreed on is still there after it."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from itertools import islice

from hypothesis import given, settings
from hypothesis import strategies as st

from stepwell.model.procedure import Procedure, Step, steps_of
from stepwell.repairs.changes import Change, MoveStep, NoPlaceError, all_changed
from stepwell.repairs.leaves import leaves_of, side_by_side
from stepwell.repairs.scene import Scene, scene_of
from stepwell.repairs.search import SORTS, Effort, mends_of
from stepwell.report.bites import without_step
from tests.demo import checked, moved_behind, procedure, workspace
from tests.repairs.test_seeded import nothing_weaker, wrong

CARDS = ("connect-va", "connect-vv", "circuit-change", "air-in-circuit", "pump-stopped", "hand-drive", "ready-to-move")
DAY = date(2026, 11, 30)


@cache
def scene(card: str, step: str, behind: str) -> Scene:
    """A card with one step left out, or moved to behind another."""
    found = procedure(card)
    body = found.body
    wrong_one = moved_behind(found, step, behind) if behind else replace(found, body=without_step(body, step))
    made = scene_of(workspace(), wrong_one, clock=time.process_time)
    assert made is not None
    return made


@st.composite
def faults(draw: st.DrawFn) -> Scene:
    card = draw(st.sampled_from(CARDS))
    steps = [step.id for step in steps_of(procedure(card).body)]
    step = draw(st.sampled_from(steps))
    behind = draw(st.sampled_from([other for other in steps if other != step])) if draw(st.booleans()) else ""
    return scene(card, step, behind)


def proposals(found: Scene) -> Iterator[tuple[Change, ...]]:
    for trouble in found.troubles:
        for sort in SORTS:
            yield from islice(sort(found, trouble), 8)


@settings(max_examples=25)
@given(faults())
def test_no_proposal_takes_anything_away(found: Scene) -> None:
    for changes in proposals(found):
        try:
            body = all_changed(found.procedure.body, changes)
        except NoPlaceError:
            continue
        assert body != found.procedure.body
        nothing_weaker(found.procedure, replace(found.procedure, body=body))


@settings(max_examples=4)
@given(faults())
def test_what_is_offered_mends_and_leaves_nothing_worse(found: Scene) -> None:
    clean = wrong(checked(found.procedure))
    few = Effort(candidates=40, seconds=60.0, weighed=1)
    for mend in mends_of(workspace(), found.procedure, as_of=DAY, clock=time.process_time, effort=few):
        if not mend.changes:
            continue
        after = replace(found.procedure, body=mend.body)
        assert all_changed(found.procedure.body, mend.changes) == mend.body
        nothing_weaker(found.procedure, after)
        assert wrong(checked(after)) <= clean
        again = scene_of(workspace(), after, clock=time.process_time)
        assert again is not None
        assert mend.key not in again.base.keys


def test_nothing_is_offered_for_a_sound_card() -> None:
    assert mends_of(workspace(), procedure("connect-va"), as_of=DAY, clock=time.process_time) == ()


def test_the_same_fault_has_the_same_repair() -> None:
    found = scene("circuit-change", "d3cv", "").procedure

    def offered() -> list[tuple[Change, ...]]:
        return [one.changes for one in mends_of(workspace(), found, as_of=DAY, clock=time.process_time)]

    assert offered() == offered() != []


def test_who_works_beside_whom() -> None:
    found = {leaf.id: leaf for leaf in leaves_of(procedure("prime-adult").body)}
    assert side_by_side(found["c8kd"], found["f3rv"]), "two lanes"
    assert side_by_side(found["w7ud"], found["z2ka"]), "two items in any order"
    assert not side_by_side(found["w7ud"], found["x4pf"]), "one stage within an any-order"
    assert not side_by_side(found["f3rv"], found["l8vf"]), "the hold bars both lanes"
    assert [leaf.number for leaf in found.values() if isinstance(leaf.item, Step)] == list(
        range(1, len(steps_of(procedure("prime-adult").body)) + 1)
    )


def test_a_stage_that_becomes_empty_goes_and_a_lane_does_not() -> None:
    card = procedure("ready-to-move")
    alone = next(leaf.id for leaf in leaves_of(card.body) if leaf.id == "e2up")
    before = titles(card)
    body = all_changed(card.body, (move(alone, "d5sh"),))
    assert titles(replace(card, body=body)) == [title for title in before if title != "Change the power over"]


def titles(card: Procedure) -> list[str]:
    return [title for item in card.body if (title := getattr(item, "title", "")) and not hasattr(item, "until")]


def move(step: str, behind: str) -> Change:
    return MoveStep(step=step, anchor=behind, before=False)
