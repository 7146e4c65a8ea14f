"""A clamp that is partly shut: what needs a flow or a pressure is not decided, and everything else is judged as ever."""

from __future__ import annotations

from pathlib import Path

from stepwell.report.results import Status
from tests.rules.harness import CASES, Case, Played, play

THROTTLED = """\
kind: emergency
starts: {from: supported}
body:
  - {id: t1th, who: one, say: "Throttle {return-clamp}.", do: {throttle: return-clamp}}
  - {id: t2op, who: one, say: "Open {return-clamp}.", do: {open: return-clamp}}
"""


def played(text: str, folder: Path) -> Played:
    rig = (CASES / "base-rig.yaml").read_text("utf-8")
    return play(Case(rule="pump-starved", number=1, fails=False, text=text, rig=rig), folder / "unit")


def test_a_rule_that_needs_the_flow_is_not_decided(tmp_path: Path) -> None:
    said = played(THROTTLED, tmp_path)
    assert said.found == set(), said.messages
    assert said.verdicts["gas-on-without-pressure"] is Status.NOT_DECIDED
    assert said.verdicts["vent-open-with-patient"] is not Status.NOT_DECIDED


def test_what_is_wrong_however_far_the_clamp_is_shut_is_found(tmp_path: Path) -> None:
    airy = THROTTLED.replace("{from: supported}", "{from: supported, oxygenator: wet}")
    assert (4, "patient-not-isolated-first") in played(airy, tmp_path).found


def test_without_a_throttled_clamp_the_same_is_decided(tmp_path: Path) -> None:
    text = THROTTLED.replace("throttle: return-clamp", "open: return-clamp").replace("Throttle", "Open")
    assert Status.NOT_DECIDED not in played(text, tmp_path).verdicts.values()


def test_a_clamp_left_half_shut_is_not_surely_open_at_the_end(tmp_path: Path) -> None:
    left = "\n".join(THROTTLED.replace("kind: emergency\n", "").splitlines()[:-1]) + "\n"
    assert "clamp-left-on-main-path" in {rule for _, rule in played(left, tmp_path).found}
