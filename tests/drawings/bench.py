"""Rigs and states to draw."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from xml.etree import ElementTree

from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.settings import baseline_state
from stepwell.circuit.settle import settle
from stepwell.model.rig import Rig
from stepwell.report.circuit_state import CircuitState, circuit_state
from stepwell.source.workspace import load_workspace

PROTOCOLS = Path(__file__).parent.parent.parent / "protocols"
SVG = "{http://www.w3.org/2000/svg}"


@cache
def rigs() -> tuple[Rig, ...]:
    """The rigs of the example unit."""
    workspace = load_workspace(PROTOCOLS).workspace
    assert workspace is not None
    return workspace.rigs


def states(rig: Rig) -> dict[str, CircuitState]:
    """Every baseline of a rig, settled."""
    layout = compile_rig(rig)
    return {one.name: circuit_state(layout, settle(layout, baseline_state(layout, one)).state) for one in rig.baselines}


def texts(svg: str) -> list[str]:
    """The words of every line of text."""
    return ["".join(one.itertext()) for one in ElementTree.fromstring(svg).iter(f"{SVG}text")]
