"""Hand-over is derived from what is done: taking a pack onto the field, and the first join to a patient."""

from __future__ import annotations

from pathlib import Path

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
