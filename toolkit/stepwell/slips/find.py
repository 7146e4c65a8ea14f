"""The search for what each single slip leads to, over all orders.

What the slipped step itself would see does not count. A look that sends the run back by ``if-not: step``
does not end it: harm on that way counts as silent, which errs on the safe side.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from itertools import groupby

from stepwell.circuit.compile_rig import compile_rig
from stepwell.diagnostics.severity import Severity
from stepwell.model.procedure import Body, Procedure, steps_of
from stepwell.model.rig import Rig
from stepwell.model.rule import Rule
from stepwell.model.slip import Sort
from stepwell.model.workspace import Workspace
from stepwell.orders.search import Bounds
from stepwell.report.bites import blind
from stepwell.report.check import known_starts
from stepwell.report.keep import NOTHING_KEPT, Cache, Keeper, NoCache, narrowed
from stepwell.report.starts import UnknownStartError
from stepwell.report.world import CircuitWorld
from stepwell.rules.applies import rules_for, unrecorded
from stepwell.rules.ground import instantiate
from stepwell.slips.confirm import confirmed
from stepwell.slips.results import Outcome, Slip, SlipReport
from stepwell.slips.searches import Searches, Seen
from stepwell.slips.variants import Variant, variants, without_check

BOUNDS = Bounds(states=400_000, seconds=60.0)

_RANK = {
    Outcome.HARMLESS: 0,
    Outcome.STOPPED: 1,
    Outcome.CAUGHT: 2,
    Outcome.ONLY_CATCH: 3,
    Outcome.UNDECIDED: 4,
    Outcome.SILENT: 5,
}


def find_slips(
    workspace: Workspace, procedure: Procedure, *, clock: Callable[[], float], bounds: Bounds = BOUNDS
) -> SlipReport | None:
    """Every single slip of a procedure, classified. None where its order can't be checked: wording only, no rig, or a
    start from the end of a procedure whose ends are not known.

    ``clock`` gives seconds, as time.monotonic does. The bound on states is for each search, the one on seconds for
    all of them together; what was not searched to the end is undecided.
    """
    rig = next((rig for rig in workspace.rigs if rig.id == procedure.rig), None)
    if procedure.wording_only or rig is None:
        return None
    try:
        starts = known_starts(workspace, procedure, rig, clock=clock, bounds=bounds)
    except UnknownStartError:
        return None
    applying = rules_for(workspace.rules, procedure, workspace.unit)
    rules = tuple(rule for rule in applying if not unrecorded(rule, workspace.unit))
    layout = compile_rig(rig)
    ground = tuple(one for rule in rules for one in instantiate(rule, rig).ground)
    world = CircuitWorld(layout, starts, ground, procedure.ends)
    slips = Finder(world, procedure.body, rig, rules, clock=clock, bounds=bounds).slips()
    return SlipReport(
        procedure=procedure.id,
        title=procedure.title,
        steps=tuple(step.id for step in steps_of(procedure.body)),
        slips=slips,
        critical=tuple(dict.fromkeys(slip.step for slip in slips if slip.fatal_silent)),
        fatal_silent=sum(slip.fatal_silent for slip in slips),
        fatal_total=sum(slip.fatal for slip in slips),
    )


def slips_of(
    workspace: Workspace, procedure: Procedure, *, clock: Callable[[], float], cache: Cache = NOTHING_KEPT
) -> SlipReport | None:
    """``find_slips``, with a report that is kept where there is one. One with something undecided is not kept."""
    # Waivers are judged afterwards, so that a search is not done anew for one of them.
    part = replace(narrowed(workspace, procedure), waivers=())
    if isinstance(cache, NoCache) or procedure.wording_only or not part.rigs:
        return find_slips(part, procedure, clock=clock)

    def make() -> tuple[SlipReport, bool]:
        found = find_slips(part, procedure, clock=clock)
        assert found is not None
        return found, not found.undecided

    return Keeper(cache, BOUNDS).recall(SlipReport, "slips", part, make)


class Finder:
    """One body on its rig, judged by ``rules``, which are those of the world.

    ``anew``: every changed body is searched from its start to its end, as if nothing of it were known; it takes longer and
    comes to the same.
    """

    def __init__(
        self,
        world: CircuitWorld,
        body: Body,
        rig: Rig,
        rules: tuple[Rule, ...],
        *,
        clock: Callable[[], float],
        bounds: Bounds = BOUNDS,
        anew: bool = False,
    ) -> None:
        self.codes = {rule.name: rule.code for rule in rules}
        self.severity = {rule.name: rule.severity for rule in rules}
        self.body, self.rig = body, rig
        self.steps = {step.id: step for step in steps_of(body)}
        self.searches = Searches(world, clock, bounds, anew=anew)
        self.as_it_is, self.unseen = self.searches.whole(self.body), self.searches.whole(blind(self.body))
        self.base, self.unseen_base = self.as_it_is.seen, self.unseen.seen
        fatal = frozenset(rule.name for rule in rules if rule.severity is Severity.FATAL)
        self.fatal = fatal - {rule for rule, _, _ in self.base.broken}
        self.unseen_fatal = fatal - {rule for rule, _, _ in self.unseen_base.broken}
        self.only: dict[str, str] = {}

    def slips(self) -> tuple[Slip, ...]:
        """The worst of the variants for each step and sort, with the fatal harm of all of them."""
        found: list[Slip] = []
        for _, group in groupby(variants(self.body, self.rig), key=lambda one: (one.step, one.sort)):
            found.append(_worst_of([self.judge(variant) for variant in group]))
        return tuple(self._checked(slip) for slip in found)

    def judge(self, variant: Variant) -> Slip:
        """What one variant leads to. What the procedure does without the slip is not laid to it."""
        seen = self.searches.changed(variant.body, self.as_it_is, self.fatal)
        plain = Slip(
            step=variant.step,
            sort=variant.sort,
            detail=variant.detail,
            outcome=Outcome.HARMLESS,
            misses_end=seen.misses_end and not self.base.misses_end,
        )
        broken = _worst(seen, self.base, self.severity)
        if broken is not None:
            rule, where = broken
            silent = replace(
                plain,
                outcome=Outcome.SILENT,
                rule=rule,
                code=self.codes[rule],
                severity=self.severity[rule],
                where=where,
                cut_short=not self._trusted(seen),
            )
            return self._with_confirmations(silent, seen, variant) if silent.fatal_silent else silent
        if not self._trusted(seen):
            return replace(plain, outcome=Outcome.UNDECIDED)
        known = {(where, look) for _, where, look in self.base.stops}
        stops = [one for one in seen.stops if one[1:] not in known]
        if not stops:
            return plain
        _, where, looked = stops[0]
        fatal = self.searches.harms(blind(variant.body), self.unseen, self.unseen_fatal)
        if looked and {one[1] for one in stops} == {where}:
            self._try_alone(variant, where)
        return replace(plain, outcome=Outcome.CAUGHT if looked else Outcome.STOPPED, where=where, fatal=fatal)

    def _trusted(self, seen: Seen) -> bool:
        """True if what was not met can't be met."""
        base = self.base.complete and self.unseen_base.complete
        return base and seen.complete and not set(seen.problems) - set(self.base.problems)

    def _with_confirmations(self, slip: Slip, seen: Seen, variant: Variant) -> Slip:
        """A slip with silent fatal harm, and what of it is met although second people look."""
        harms = unconfirmed = self._fatal_of(seen)
        second = confirmed(variant, self.steps)
        by: tuple[str, ...] = ()
        if second is not None:
            looked = self.searches.changed(second.body, self.as_it_is, self.fatal)
            if self._trusted(looked):
                unconfirmed = self._fatal_of(looked)
            by = second.by if unconfirmed != harms else ()
        return replace(slip, fatal=True, harms=harms, unconfirmed=unconfirmed, confirmed_by=by)

    def _fatal_of(self, seen: Seen) -> tuple[str, ...]:
        """The fatal rules that are violated, and are not without the slip."""
        return tuple(sorted({rule for rule, _, _ in seen.broken} & self.fatal))

    def _try_alone(self, variant: Variant, check: str) -> None:
        """Note the check as the only catch if, without it, the slip would pass unnoticed."""
        if check in self.only:
            return
        seen = self.searches.changed(without_check(variant.body, check), self.as_it_is, self.fatal)
        known = {(where, look) for _, where, look in self.base.stops}
        if _worst(seen, self.base, self.severity) or not any(one[1:] not in known for one in seen.stops):
            self.only[check] = f"of {variant.step} {variant.sort.value}"

    def _checked(self, slip: Slip) -> Slip:
        """A skipped check that is harmless in itself, but the only catch of another slip, is said to be that."""
        if slip.sort is Sort.UNCHECKED and slip.outcome is Outcome.HARMLESS and slip.step in self.only:
            return replace(slip, outcome=Outcome.ONLY_CATCH, detail=self.only[slip.step])
        return slip


def _worst(seen: Seen, base: Seen, severity: dict[str, Severity]) -> tuple[str, str | None] | None:
    """(rule, where) of the worst violation that the base does not have, among these the one met first."""
    known = {rule for rule, _, _ in base.broken}
    new = [one for one in seen.broken if one[0] not in known]
    if not new:
        return None
    rule, _, where = min(new, key=lambda one: (-severity[one[0]], one[1], one[0]))
    return rule, where


def _worst_of(slips: list[Slip]) -> Slip:
    """The worst variant of one slip, which answers for the fatal harm of the others as well."""
    worst = max(slips, key=_badness)
    return replace(
        worst,
        harms=_all(slip.harms for slip in slips),
        unconfirmed=_all(slip.unconfirmed for slip in slips),
        confirmed_by=tuple(dict.fromkeys(step for slip in slips for step in slip.confirmed_by)),
        cut_short=worst.outcome is Outcome.SILENT
        and any(slip.cut_short or slip.outcome is Outcome.UNDECIDED for slip in slips),
    )


def _all(names: Iterable[tuple[str, ...]]) -> tuple[str, ...]:
    return tuple(sorted({name for some in names for name in some}))


def _badness(slip: Slip) -> tuple[int, int, bool, bool, bool]:
    return _RANK[slip.outcome], slip.severity or 0, bool(slip.unconfirmed), slip.fatal, slip.misses_end
