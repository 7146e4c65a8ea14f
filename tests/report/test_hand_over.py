"""Hand-over is derived from what is done: taking a pack onto the field, and the first join to a patient."""

from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path

import pytest

from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.layout import FIRST_MATE, Layout, State
from stepwell.model.procedure import Starts, steps_of
from stepwell.model.workspace import Workspace
from stepwell.orders.search import Bounds
from stepwell.report.check import known_starts
from tests.demo import procedure, rig, workspace
from tests.rules.harness import CASES, Case, Played, changed_rig, play

PACK = """
parts:
  pack: {kind: sterile-pack, label: limb pack, ends: [drain-end, return-end]}
"""
OUTER = '  - {id: o2hn, who: two, say: "Open {pack}.", do: {open-outer: pack}}\n'
INNER = '  - {id: t2hn, who: one, say: "Take {pack}.", do: {take-inner: pack}}\n'
SUSPEND = '  - {id: s9gw, who: one, say: "Suspend {bubble-stop}.", do: {suspend: bubble-stop}}\n'
RESTORE = '  - {id: r2hn, who: one, say: "Restore {bubble-stop}.", do: {restore: bubble-stop}}\n'
CONNECT = (
    '  - {id: d4mz, who: one, say: "Shut {drain-clamp} and {return-clamp}.", do: {shut: [drain-clamp, return-clamp]}}\n'
    '  - {id: p8xo, who: one, say: "Part {drain-end} from {return-end} and cover both.",'
    " do: {part: [drain-end, return-end], covered: true}}\n"
    '  - {id: j3ka, who: one, say: "Join {drain-end} to {drain-cannula} wet to wet.",'
    " do: {join: [drain-end, drain-cannula], wet: true}}\n"
)
REST = (
    '  - {id: j7yr, who: one, say: "Join {return-end} to {return-cannula} wet to wet.",'
    " do: {join: [return-end, return-cannula], wet: true}}\n"
    '  - {id: d7ql, who: one, say: "Open {drain-clamp} and {return-clamp}.", do: {open: [drain-clamp, return-clamp]}}\n'
)
START = "starts: {from: primed}\nbody:\n"


def played(body: str, folder: Path) -> Played:
    rig = changed_rig((CASES / "base-rig.yaml").read_text("utf-8"), PACK)
    return play(Case(rule="hand-over", number=1, fails=False, text=START + body, rig=rig), folder / "unit")


def test_taking_the_pack_hands_over_what_is_not_in_order(tmp_path: Path) -> None:
    assert played(OUTER + SUSPEND + INNER + RESTORE, tmp_path).found == {(5, "response-left-suspended")}


def test_opening_the_outer_wrap_does_not(tmp_path: Path) -> None:
    assert played(SUSPEND + OUTER + RESTORE + INNER, tmp_path).found == set()


def test_joining_the_patient_is_a_hand_over_of_its_own(tmp_path: Path) -> None:
    """Clean on the field, suspended at the patient: the second hand-over finds it, though the end is in order again."""
    found = played(OUTER + INNER + SUSPEND + CONNECT + RESTORE + REST, tmp_path).found
    assert found == {(8, "response-left-suspended")}


def test_only_the_first_end_of_the_patient_hands_over(tmp_path: Path) -> None:
    assert played(OUTER + INNER + CONNECT + SUSPEND + REST + RESTORE, tmp_path).found == set()


def states_at_the_start(name: str, unit: Workspace) -> tuple[Layout, tuple[State, ...]]:
    found = next(one for one in unit.procedures if one.id == name)
    on = rig(found.rig)
    return compile_rig(on), known_starts(unit, found, on, clock=time.monotonic, bounds=Bounds())


def told(layout: Layout, state: State) -> dict[tuple[str, str], int | str]:
    """The values of a state by part and name, with the other end's name where two ends are joined."""
    values: dict[tuple[str, str], int | str] = {key: state[number] for key, number in layout.index.items()}
    for end in layout.ends:
        mate = state[end.mate]
        values[end.part, "mate"] = layout.ends[mate - FIRST_MATE].part if mate >= FIRST_MATE else mate
    return values


@pytest.mark.parametrize("card", ["connect-va", "connect-vv"])
def test_the_set_that_is_connected_is_the_one_that_was_handed_over(card: str) -> None:
    """The patient's sets are files of their own, so their baseline is compared with every real end of the hand-over.

    What both files name is in the same state. Only the speed differs, which people set at the bedside as they like, and
    which no longer counts once the card stops the pump, before it does anything else to the set.
    """
    behind = replace(procedure("hand-over"), id="behind", starts=Starts(procedure="hand-over"), ends=(), path="")
    unit = replace(workspace(), procedures=(*workspace().procedures, behind))
    of_hand_over, ends = states_at_the_start("behind", unit)
    of_card, starts = states_at_the_start(card, unit)
    shared = set(of_hand_over.index) & set(of_card.index)
    assert len(shared) >= 15
    assert {("drain-limb", "contents"), ("oxy-vent", "gate"), ("bubble-stop", "response"), ("drain-end", "mate")} <= shared
    for end in ends:
        for start in starts:
            one, other = told(of_hand_over, end), told(of_card, start)
            assert {key for key in shared if one[key] != other[key]} <= {("pump", "speed")}
    wet = {end.part for end in of_card.ends} | {"pump", "drain-clamp", "return-clamp", "oxy-vent"}
    actions = [action for step in steps_of(procedure(card).body) for action in step.do]
    assert next(action.verb for action in actions if wet & {*action.parts}) == "stop"
