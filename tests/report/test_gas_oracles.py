"""What any correct checker must say of gas: the four orders of gas and flow, and one cylinder letter in two regions."""

from __future__ import annotations

from pathlib import Path

import pytest

from stepwell.quantities.cylinder import Region, find_cylinder
from tests.rules.harness import CASES, Case, changed_rig, play

GASES = """
parts:
  gas: {kind: gas-supply, label: sweep gas, oxygenator: oxygenator, flow: 5 L/min}
  wall: {kind: gas-source, label: wall oxygen, gas: oxygen, store: piped}
  cylinder: {kind: gas-source, label: cylinder E, gas: oxygen, store: cylinder, holds: HOLDS L}
  trolley: {kind: frame, label: trolley, journey: 60 min}
  crank: {kind: backup, label: hand drive, trait: travels}
baselines:
  supported: {wall: open, connected: [[gas, wall]], crank: ready}
"""
GAS_ON = '  - {id: g5dp, who: two, say: "Turn {gas} on.", do: {gas-on: gas}}\n'
GAS_OFF = '  - {id: g6dp, who: two, say: "Turn {gas} off.", do: {gas-off: gas}}\n'
RUN = '  - {id: w3ej, who: one, say: "Run {pump} at working speed.", do: {run: pump, at: 3000 rpm}}\n'
STOP = '  - {id: x6ti, who: one, say: "Stop {pump}.", do: {stop: pump}}\n'
STANDING = "starts: {from: supported, pump: stopped, gas: gas-off}\nbody:\n"
SUPPORTED = "starts: {from: supported}\nbody:\n"


def found(text: str, folder: Path, litres: float = 680) -> set[str]:
    rig = changed_rig((CASES / "base-rig.yaml").read_text("utf-8"), GASES.replace("HOLDS", f"{litres:g}"))
    return {rule for _, rule in play(Case(rule="gas", number=1, fails=False, text=text, rig=rig), folder / "unit").found}


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (STANDING + RUN + GAS_ON, set()),
        (STANDING + GAS_ON + RUN, {"gas-on-before-flow", "gas-on-without-pressure"}),
        (SUPPORTED + GAS_OFF + STOP, set()),
        (SUPPORTED + STOP + GAS_OFF, {"pump-stopped-with-gas-on", "gas-on-without-pressure"}),
    ],
    ids=["flow then gas", "gas then flow", "gas off then stop", "stop then gas off"],
)
def test_two_of_the_four_orders_of_gas_and_flow_pass(text: str, wanted: set[str], tmp_path: Path) -> None:
    assert bool(wanted) is bool(found(text, tmp_path))
    assert found(text, tmp_path / "again") <= wanted


@pytest.mark.parametrize(("region", "litres", "wanted"), [(Region.UK, 680, set()), (Region.US, 560, {"oxygen-too-short"})])
def test_one_letter_in_two_regions_lasts_differently(region: Region, litres: int, wanted: set[str], tmp_path: Path) -> None:
    """5 L/min for 60 min, twice, is 600 L: a full E of one region holds it and a full E of the other does not."""
    cylinder = find_cylinder(region, "E")
    assert cylinder is not None
    assert cylinder.contents == pytest.approx(litres, rel=0.005)
    text = (
        "starts: {from: supported, cylinder: open, connected: [[gas, cylinder]]}\nbody:\n"
        '  - {id: p5dp, who: one, say: "Depart with {trolley}.", do: {depart: trolley}}\n'
    )
    assert found(text, tmp_path, cylinder.contents) == wanted


def test_the_trace_says_when_gas_is_lost(tmp_path: Path) -> None:
    text = SUPPORTED + '  - {id: d3wq, who: one, say: "Take {gas} off the wall.", do: {disconnect-gas: gas}}\n'
    rig = changed_rig((CASES / "base-rig.yaml").read_text("utf-8"), GASES.replace("HOLDS", "680"))
    played = play(Case(rule="gas", number=1, fails=False, text=text, rig=rig), tmp_path / "unit")
    assert {rule for _, rule in played.found} == {"wall-gas-let-go-first", "flow-without-gas"}
    assert "no sweep gas flows any more" in played.traces
