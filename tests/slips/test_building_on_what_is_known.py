"""Slips of the demo are the same whether or not a search builds upon that of the procedure as it stands."""

from __future__ import annotations

import time

import pytest

from stepwell.circuit.compile_rig import compile_rig
from stepwell.report.check import known_starts
from stepwell.report.world import CircuitWorld
from stepwell.rules.applies import rules_for, unrecorded
from stepwell.rules.ground import instantiate
from stepwell.slips.find import BOUNDS, Finder
from tests.demo import procedure, rig, workspace

CHECKED = [found.id for found in workspace().procedures if not found.wording_only]
AT_ONCE = ("prime-adult", "air-in-circuit")
"""Compared every time: the largest, and one of which many slips are caught."""


def finder(name: str, *, anew: bool) -> Finder:
    found = procedure(name)
    here = rig(found.rig)
    applying = rules_for(workspace().rules, found, workspace().unit)
    rules = tuple(rule for rule in applying if not unrecorded(rule, workspace().unit))
    ground = tuple(one for rule in rules for one in instantiate(rule, here).ground)
    starts = known_starts(workspace(), found, here, clock=time.process_time, bounds=BOUNDS)
    world = CircuitWorld(compile_rig(here), starts, ground, found.ends)
    return Finder(world, found.body, here, rules, clock=time.process_time, anew=anew)


@pytest.mark.parametrize("name", [pytest.param(one, marks=() if one in AT_ONCE else pytest.mark.nightly) for one in CHECKED])
def test_every_slip_is_the_same(name: str) -> None:
    upon, anew = finder(name, anew=False), finder(name, anew=True)
    assert upon.slips() == anew.slips()
    assert upon.searches.places < anew.searches.places
