"""Each target of the cards beside what is measured here: ``python -m tests.cards.bench``. Prints, never fails.

The demo's cards are laid out with the drawings of their starts, as ``stepwell cards`` does; the library of 200 is the
demo's procedures over and over, each with a title of its own. A busy machine measures worse than a quiet one: the load is
printed with the figures.
"""

from __future__ import annotations

import io
import os
import tempfile
import time
from dataclasses import replace
from pathlib import Path
from time import monotonic

from stepwell.cli.cache import Folder
from stepwell.cli.console import Console
from stepwell.cli.produce import Job, make_cards
from stepwell.model.workspace import Workspace
from stepwell.publish.build import build_sheet
from stepwell.render.cards.keep import card_of
from stepwell.render.cards.render import CardResult
from stepwell.render.text.look import Look
from stepwell.report.check import Options, check_workspace
from stepwell.report.keep import NOTHING_KEPT, Cache
from stepwell.report.results import CheckReport
from tests import demo
from tests.publish.bench import AS_OF

COUNT = 200
RUNS = 5
"""Of what is short, the best of so many is told: other work on the machine only ever makes it slower."""


def line(what: str, target: str, measured: str) -> None:
    print(f"{what:<52} {target:<18} {measured}")


def library() -> tuple[Workspace, CheckReport]:
    """200 procedures with their checks."""
    space = demo.workspace()
    report = check_workspace(space, as_of=AS_OF, clock=monotonic, options=Options(bites=False))
    known = {one.procedure: one for one in report.procedures}
    many = [(n, one) for n in range(COUNT) for one in space.procedures][:COUNT]
    procedures = tuple(replace(one, id=f"{one.id}-{n}", title=f"{one.title} {n}") for n, one in many)
    entries = tuple(replace(known[one.id], procedure=f"{one.id}-{n}") for n, one in many)
    return replace(space, procedures=procedures), replace(report, procedures=entries)


def cards(space: Workspace, report: CheckReport, cache: Cache, most: int = COUNT) -> dict[str, CardResult]:
    """One after the other, on one core."""
    known = {one.procedure: one for one in report.procedures}
    return {
        one.id: card_of(build_sheet(space, one, known[one.id], AS_OF), AS_OF, space, report, cache)
        for one in space.procedures[:most]
    }


def at_once(space: Workspace, report: CheckReport, cache: Cache) -> int:
    """As ``stepwell cards`` makes them; returns their number."""
    with tempfile.TemporaryDirectory() as folder:
        console = Console(out=io.StringIO(), err=io.StringIO(), look=Look(width=80), err_look=Look(width=80))
        job = Job(root=Path(folder), workspace=space, report=report, as_of=AS_OF, console=console, cache=cache)
        make_cards(job, Path(folder) / "cards")
        return len(list(Path(folder).glob("cards/*.pdf")))


def fastest(space: Workspace, report: CheckReport) -> tuple[float, dict[str, CardResult]]:
    """Seconds of one core for all cards, each time under titles that were never seen: the best of ``RUNS``."""
    found: list[tuple[float, dict[str, CardResult]]] = []
    for run in range(RUNS):
        anew = tuple(replace(one, title=f"{one.title} {len(space.procedures)}.{run}") for one in space.procedures)
        start = time.process_time()
        made = cards(replace(space, procedures=anew), report, NOTHING_KEPT)
        found.append((time.process_time() - start, made))
    return min(found, key=lambda one: one[0])


def main() -> None:
    """Print everything."""
    line("what", "target", "measured")
    line("load of this machine", "", f"{os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    space, report = library()
    number = len(demo.workspace().procedures)
    cards(space, report, NOTHING_KEPT, number)
    spent, made = fastest(replace(space, procedures=space.procedures[:number]), report)
    pages = sum(card.pages for card in made.values())
    line("cards a second of one core, warm", "at least 20", f"{len(made) / spent:.1f}; {pages / spent:.1f} pages a second")
    sides = tuple(one for one in space.procedures[:number] if made[one.id].pages == 1)
    spent, _ = fastest(replace(space, procedures=sides), report)
    line("of those that are one side", "", f"{len(sides) / spent:.1f}")
    for name, card in sorted(made.items(), key=lambda pair: -len(pair[1].pdf))[:3]:
        weight = len(card.pdf) / 1024
        line(f"heavy: {name}", "at most 60 KiB", f"{weight:.0f} KiB, {weight / card.pages:.1f} a page")
    with tempfile.TemporaryDirectory() as folder:
        for what, target in (("all new", "at most 15 s"), ("nothing changed", "at most 1 s")):
            start, wall = time.process_time(), time.perf_counter()
            assert at_once(space, report, Folder(Path(folder) / "kept")) == COUNT
            took = f"{time.perf_counter() - wall:.1f} s, {time.process_time() - start:.1f} s of cores"
            line(f"a library of {COUNT}, {what}", target, took)


if __name__ == "__main__":
    main()
