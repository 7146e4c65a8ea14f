"""A procedure that is made to blow up is said not to be decided, within its bounds, and never to be safe."""

from __future__ import annotations

import subprocess
import sys
import time
from dataclasses import replace
from datetime import date
from itertools import cycle

import pytest

from stepwell.model.procedure import Action, Lane, Lanes, PartName, Procedure, Step, Text, steps_of
from stepwell.orders.search import Bounds
from stepwell.report.check import Options, check_procedure
from stepwell.report.results import CheckReport, ProcedureReport, Status
from tests.demo import ROOT, procedure, workspace

ROLES = ("primer", "assistant")


def harmless(width: int, length: int) -> Procedure:
    """Clamps of a dry, unpacked set, each opened and shut by somebody else: many orders, and no rule minds any."""
    clamps = ("prime-clamp", "return-clamp", "drain-clamp", "recirc-clamp")[:width]
    bodies = (
        tuple(
            Step(
                id=f"s{lane}{n}",
                who="primer",
                say=(Text(f"{verb} ".capitalize()), PartName(part=clamp)),
                do=(Action(verb=verb, parts=(clamp,)),),
            )
            for n, verb in zip(range(length), cycle(("shut", "open")))
        )
        for lane, clamp in enumerate(clamps)
    )
    lanes = Lanes(title="", lanes=tuple(Lane(who="primer", body=body) for body in bodies))
    return replace(procedure(), body=(lanes,), ends=())


def all_at_once(width: int) -> Procedure:
    """The steps of the demo's priming dealt out to ``width`` people, with nothing that holds them up."""
    steps = [replace(step, after=(), expect=(), if_not=None) for step in steps_of(procedure().body) if step.do]
    lanes = Lanes(title="", lanes=tuple(Lane(who="primer", body=tuple(steps[n::width])) for n in range(width)))
    return replace(procedure(), body=(lanes,))


def checked(found: Procedure, bounds: Bounds) -> ProcedureReport:
    return check_procedure(workspace(), found, clock=time.monotonic, options=Options(bounds=bounds, bites=False))


def test_nothing_found_and_not_all_searched_is_exit_code_3() -> None:
    whole = checked(harmless(2, 6), Bounds())
    assert whole.complete
    assert not whole.findings, "the comparison needs a procedure that no rule minds"
    cut = checked(harmless(2, 6), Bounds(states=20))
    assert not cut.complete
    reports = [CheckReport(as_of=date(2026, 11, 1), procedures=(one,), findings=one.findings) for one in (whole, cut)]
    assert [report.exit_code() for report in reports] == [0, 3]
    assert all(v.status in (Status.NOT_DECIDED, Status.NOT_APPLICABLE) or not v.searched for v in cut.verdicts)
    assert any(v.status is Status.NOT_DECIDED for v in cut.verdicts)


def test_it_says_how_far_it_came_and_what_filled_it() -> None:
    report = checked(all_at_once(4), Bounds(states=400))
    undecided = [verdict for verdict in report.verdicts if verdict.status is Status.NOT_DECIDED]
    assert undecided
    for verdict in undecided:
        assert verdict.bound is not None
        assert verdict.bound.states == 400
        assert verdict.bound.length > 0
        assert verdict.bound.reason.startswith("stopped at 400 states, with up to 4 steps open at once (")
        assert verdict.bound.reason.endswith(" states of the circuit")
    held = [verdict for verdict in report.verdicts if verdict.status is Status.HOLDS]
    assert not any(verdict.searched for verdict in held), "nothing is said to hold because a part was searched"


BLOW_UP = """
import resource, time
from stepwell.report.check import Options, check_procedure
from stepwell.report.results import Status
from tests.demo import workspace
from tests.report.test_not_decided import all_at_once
began = time.monotonic()
report = check_procedure(workspace(), all_at_once(8), clock=time.monotonic, options=Options())
undecided = sum(verdict.status is Status.NOT_DECIDED for verdict in report.verdicts)
peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
print(undecided, report.states, round(time.monotonic() - began), peak)
"""


@pytest.mark.nightly
@pytest.mark.skipif(sys.platform != "linux", reason="the peak of memory is told in KiB on Linux only")
def test_a_blow_up_with_the_real_bounds_stays_under_1_gib() -> None:
    ran = subprocess.run([sys.executable, "-c", BLOW_UP], cwd=ROOT, check=True, capture_output=True, text=True)
    undecided, states, seconds, peak = map(int, ran.stdout.split())
    print(f"{undecided} rules not decided, {states} states, {seconds} s, {peak // 1024} MiB")
    assert undecided > 0
    assert peak < 2**20
