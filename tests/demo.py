"""The demo unit, read once, and the changes that tests make to it."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

from stepwell.model.bodies import each_leaf, through
from stepwell.model.procedure import Body, Hold, Item, Procedure, Step, steps_of
from stepwell.model.rig import Baseline, Rig
from stepwell.model.workspace import Workspace
from stepwell.report.check import Options, check_procedure
from stepwell.report.results import ProcedureReport, Status
from stepwell.source.workspace import load_workspace

ROOT = Path(__file__).parent.parent
PROTOCOLS = ROOT / "protocols"


@cache
def workspace() -> Workspace:
    """The demo workspace; loading it without a finding is part of every test that uses it."""
    loaded = load_workspace(PROTOCOLS)
    assert loaded.findings == ()
    assert loaded.workspace is not None
    return loaded.workspace


def procedure(name: str = "prime-adult") -> Procedure:
    """A procedure of the demo."""
    return next(found for found in workspace().procedures if found.id == name)


def rig(name: str = "adult-bedside") -> Rig:
    """A rig of the demo."""
    return next(found for found in workspace().rigs if found.id == name)


def baseline(name: str, of: str = "adult-bedside") -> Baseline:
    """A baseline of a rig of the demo."""
    return next(found for found in rig(of).baselines if found.name == name)


LOOKS_ADDED = frozenset(
    (
        *("c4lk", "f2fh", "a3oh", "t4oh", "v4lk", "p5ph", "w2lv"),  # priming
        *("p2bh", "o7rh", "p4bh", "o8rh", "c6ch", "o9rh"),  # connection and change
        *("d2lk", "x9tr"),  # move, transducers
        *("g6bd", "l5fh", "l6fh", "g7fh", "d2rd", "d4rd"),  # priming, connection, change and move, later on
        *("a9lk", "f5rd", "h1fl", "f8rd", "h3fl", "c7fl", "c6lk"),  # emergencies
    )
)
"""Looks and holds that were put in to catch single slips, after the mutations of the tests had been predicted."""
EXPECTS_ADDED = {"b7gz": 1, "b5go": 0, "a9fv": 0}
"""The same of steps that were there: so many of their expectations are as old as the predictions."""


def before_the_looks(name: str = "prime-adult") -> Procedure:
    """A procedure as it was when mutations were predicted: without the looks that stop most of them on the way."""

    def before(leaf: Step | Hold) -> Item | None:
        if leaf.id in LOOKS_ADDED:
            return None
        if isinstance(leaf, Step) and leaf.id in EXPECTS_ADDED:
            expect = leaf.expect[: EXPECTS_ADDED[leaf.id]]
            return replace(leaf, expect=expect, if_not=leaf.if_not if expect else None)
        return leaf

    found = procedure(name)
    return replace(found, body=each_leaf(found.body, before))


def changed(body: Body, change: Callable[[Step], Step | None]) -> Body:
    """The body with every step put through ``change``; None leaves it out."""
    return each_leaf(body, lambda leaf: change(leaf) if isinstance(leaf, Step) else leaf)


def without_action(found: Procedure, step: str, index: int) -> Procedure:
    """The procedure with one single action left out; the words of the step stay."""

    def change(old: Step) -> Step:
        return replace(old, do=old.do[:index] + old.do[index + 1 :]) if old.id == step else old

    return replace(found, body=changed(found.body, change))


def moved_behind(found: Procedure, step: str, behind: str) -> Procedure:
    """The procedure with one step moved to just behind another."""
    moving = next(old for old in steps_of(found.body) if old.id == step)

    def put(body: Body) -> Body:
        out: list[Item] = []
        for item in body:
            if isinstance(item, Step) and item.id == step:
                continue
            out.append(through(item, put))
            if isinstance(item, Step) and item.id == behind:
                out.append(moving)
        return tuple(out)

    return replace(found, body=put(found.body))


def with_sensor_trait(trait: str) -> Workspace:
    """The demo workspace with every pressure sensor of this trait."""
    found = rig()
    parts = tuple(replace(p, traits=(trait,)) if p.kind == "pressure-sensor" else p for p in found.parts)
    rigs = tuple(replace(r, parts=parts) if r.id == found.id else r for r in workspace().rigs)
    return replace(workspace(), rigs=rigs)


def checked(found: Procedure, where: Workspace | None = None) -> ProcedureReport:
    """The check of one procedure without the search for witnesses."""
    return check_procedure(where or workspace(), found, clock=time.monotonic, options=Options(bites=False))


def status(report: ProcedureReport, rule: str) -> Status:
    """The verdict on one rule."""
    return next(verdict.status for verdict in report.verdicts if verdict.rule == rule)
