"""How long the demo takes, and what each way of not doing things twice saves. Prints, never fails:
``python -m tests.bench.bench_demo``.

CPU seconds of this process (wall seconds of the calls, which are processes of their own), the best of three; ratios say
more than seconds.
"""

from __future__ import annotations

import gc
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

from stepwell.circuit.compile_rig import compile_rig
from stepwell.cli.cache import Folder
from stepwell.report.check import Options, check_procedure, check_workspace, known_starts
from stepwell.report.world import CircuitWorld
from stepwell.rules.applies import rules_for, unrecorded
from stepwell.rules.ground import instantiate
from stepwell.slips.find import BOUNDS, Finder
from tests.demo import PROTOCOLS, procedure, rig, workspace

LARGEST = "prime-adult"
TODAY = date(2026, 11, 25)
TIMES = 3


def best(work: Callable[[], object], clock: Callable[[], float] = time.process_time) -> float:
    """The least of the times that ``work`` takes."""
    found: list[float] = []
    for _ in range(TIMES):
        began = clock()
        work()
        found.append(clock() - began)
    return min(found)


def slips(*, anew: bool) -> None:
    """Every single slip of the largest procedure, in a world that remembers nothing yet."""
    found, here = procedure(LARGEST), rig(procedure(LARGEST).rig)
    rules = tuple(
        one for one in rules_for(workspace().rules, found, workspace().unit) if not unrecorded(one, workspace().unit)
    )
    ground = tuple(one for rule in rules for one in instantiate(rule, here).ground)
    starts = known_starts(workspace(), found, here, clock=time.monotonic, bounds=BOUNDS)
    world = CircuitWorld(compile_rig(here), starts, ground, found.ends)
    Finder(world, found.body, here, rules, clock=time.monotonic, anew=anew).slips()


def checked(*, bites: bool) -> None:
    """The largest procedure, with nothing kept."""
    options = Options(as_of=TODAY, bites=bites)
    check_procedure(workspace(), procedure(LARGEST), clock=time.monotonic, options=options)


def kept(folder: Path) -> None:
    """The largest procedure, with its report in the folder after the first time."""
    check_workspace(workspace(), as_of=TODAY, clock=time.monotonic, procedures=(LARGEST,), cache=Folder(folder))


def call(*more: str) -> None:
    """``stepwell check`` of the whole demo, as a process of its own."""
    line = [sys.executable, "-m", "stepwell", "check", str(PROTOCOLS), "--as-of", TODAY.isoformat(), *more]
    subprocess.run(line, stdout=subprocess.DEVNULL, check=True)


def main() -> None:
    """Print the table."""
    gc.set_threshold(50_000, 20, 20)  # as the command line does
    workspace()
    rows: list[tuple[str, float, float]] = []
    anew = best(lambda: slips(anew=True))
    rows.append((f"slips of {LARGEST}: each body from its start", anew, anew))
    rows.append(("  only where it may differ", best(lambda: slips(anew=False)), anew))
    cold = best(lambda: checked(bites=True))
    rows.append((f"check of {LARGEST}: with witnesses", cold, cold))
    rows.append(("  without", best(lambda: checked(bites=False)), cold))
    with tempfile.TemporaryDirectory() as folder:
        kept(Path(folder))
        rows.append(("  from the report that was kept", best(lambda: kept(Path(folder))), cold))
    nothing = best(lambda: call("--no-cache"), time.monotonic)
    rows.append(("call for the whole demo: nothing kept", nothing, nothing))
    with tempfile.TemporaryDirectory() as folder:
        call("--cache", folder)
        rows.append(("  nothing changed", best(lambda: call("--cache", folder), time.monotonic), nothing))
    print(f"Python {sys.version.split()[0]} on {sys.platform}\n")
    print(f"{'':52}{'seconds':>9}{'times as fast':>15}")
    for name, seconds, first in rows:
        print(f"{name:52}{seconds:9.2f}{first / seconds:15.1f}")


if __name__ == "__main__":
    main()
