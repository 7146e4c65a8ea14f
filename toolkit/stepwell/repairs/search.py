"""The search for the smallest sufficient change: proposals of every sort, re-checked one after another within a bound."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from itertools import islice

from stepwell.diagnostics.severity import Severity
from stepwell.model.procedure import Body, Procedure
from stepwell.model.workspace import Workspace
from stepwell.repairs.added_action import added_actions, added_against_the_pump
from stepwell.repairs.added_check import added_checks
from stepwell.repairs.added_order import added_orders
from stepwell.repairs.changes import Change, NoPlaceError, all_changed
from stepwell.repairs.kept_slips import KeptSlips, Silent
from stepwell.repairs.moved_step import lifted_over_a_look, moved_steps
from stepwell.repairs.recheck import Rechecks, at_first_sight
from stepwell.repairs.scene import Scene, scene_of
from stepwell.repairs.trouble import Key, Trouble
from stepwell.report.starts import UnknownStartError

SORTS: tuple[Callable[[Scene, Trouble], Iterator[tuple[Change, ...]]], ...] = (
    added_orders,
    added_checks,
    moved_steps,
    added_actions,
    added_against_the_pump,
)
"""The smaller change first: another order of the same steps before a new step."""
LAST_RESORT = frozenset({added_against_the_pump})
"""Tried only where nothing else passed."""
NEAR = 60
"""So many of each sort are tried before those of any sort that reach further."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """How far to look for the mend of one thing: so many changed bodies, so many seconds, so many that pass the rules."""

    candidates: int = 500
    seconds: float = 60.0
    weighed: int = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Mend:
    """What was found for one trouble. ``changes`` is empty where nothing was; ``tried`` counts the changed bodies.

    ``left`` are slips that still lead to what was mended, and that nobody would notice; ``remain`` is what else there is to
    mend. ``cut_short``: the bound was
    reached before everything was tried.
    """

    key: Key
    changes: tuple[Change, ...] = ()
    body: Body = ()
    left: tuple[Silent, ...] = ()
    remain: frozenset[Key] = frozenset()
    tried: int = 0
    cut_short: bool = False


def mends_of(
    workspace: Workspace,
    procedure: Procedure,
    *,
    as_of: date,
    clock: Callable[[], float],
    only: Callable[[Key], bool] = lambda _: True,
    effort: Effort = Effort(),
) -> tuple[Mend, ...]:
    """A mend for each thing that a search of the procedure finds and ``only`` asks for, that met earliest first.

    Empty where the order can't be checked. Every change that is returned passed all rules, reaches the ends, blocks no
    step that was not blocked, and lets no fatal slip pass in silence that was noticed before.
    """
    try:
        scene = scene_of(workspace, procedure, clock=clock)
    except UnknownStartError:
        return ()
    if scene is None or not scene.base.complete:
        return ()
    wanted = [one for one in scene.troubles if only(one.key)]
    if not wanted:
        return ()
    mender = _Mender(scene, as_of, effort)
    found: list[Mend] = []
    for number, trouble in enumerate(wanted):
        if trouble.key not in [one.key for one in wanted[:number]]:
            found.append(mender.mend(trouble, tuple(found)))
    return tuple(found)


class _Mender:
    def __init__(self, scene: Scene, as_of: date, effort: Effort) -> None:
        self.scene, self.effort = scene, effort
        self.rechecks = Rechecks(scene, as_of)
        self.slips = KeptSlips(scene)

    def mend(self, trouble: Trouble, earlier: tuple[Mend, ...]) -> Mend:
        """The first change that passes everything and leaves no slip behind; else the first that passes everything."""
        for one in earlier:
            if one.changes and at_first_sight(self.scene, trouble.key, one.body) is not None:
                return replace(one, key=trouble.key)
        stop_at = self.scene.clock() + self.effort.seconds
        hopeless = self.slips.hopeless(trouble)
        tried = 0
        second: list[Mend] = []
        seen: set[Body] = {self.scene.procedure.body}
        for changes in self._proposals(trouble, second):
            if tried >= self.effort.candidates or self.scene.clock() > stop_at or len(second) >= self.effort.weighed:
                return _least(second) or Mend(key=trouble.key, tried=tried, cut_short=True)
            try:
                body = all_changed(self.scene.procedure.body, changes)
            except NoPlaceError:
                continue
            if body in seen:
                continue
            seen.add(body)
            tried += 1
            remain = at_first_sight(self.scene, trouble.key, body)
            if remain is None or not self.rechecks.passes(trouble.key, body):
                continue
            level = Severity.SERIOUS if any(lifted_over_a_look(self.scene, one) for one in changes) else Severity.FATAL
            slips = self.slips.new_ones(body, level, hopeless=hopeless)
            if slips is None or slips[0]:
                continue
            found = Mend(key=trouble.key, changes=changes, body=body, left=slips[1], remain=remain, tried=tried)
            if not found.left and not remain:
                return found
            second.append(found)
        return _least(second) or Mend(key=trouble.key, tried=tried)

    def _proposals(self, trouble: Trouble, passed: list[Mend]) -> Iterator[tuple[Change, ...]]:
        sorts = [sort(self.scene, trouble) for sort in SORTS if sort not in LAST_RESORT]
        last = [sort(self.scene, trouble) for sort in SORTS if sort in LAST_RESORT]
        for most in (NEAR, None):
            for sort in sorts:
                yield from islice(sort, most)
            for sort in last:
                if not passed:
                    yield from islice(sort, most)


def _least(found: list[Mend]) -> Mend | None:
    """The one that mends most, then the one that leaves the fewest slips; among equals the smallest, which was first."""
    return min(found, key=lambda one: (len(one.remain), len(one.left)), default=None)
