"""The search for what each single slip leads to, over all orders.

A search ends a run at a refused action and at a look that fails, so a violation that it still meets is one that nothing
noticed before. What the slipped step itself would see does not count. A look that sends the run back by ``if-not: step``
does not end it: harm on that way counts as silent, which errs on the safe side.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from itertools import groupby

from stepwell.circuit.compile_rig import compile_rig
from stepwell.diagnostics.severity import Severity
from stepwell.model.procedure import Body, Procedure, steps_of
from stepwell.model.rig import Rig
from stepwell.model.rule import Rule
from stepwell.model.slip import Sort
from stepwell.model.workspace import Workspace
from stepwell.orders.compile import compile_body
from stepwell.orders.program import Do, Problem
from stepwell.orders.search import Bounds, search
from stepwell.orders.world import Acted
from stepwell.report.bites import blind
from stepwell.report.check import known_starts
from stepwell.report.keep import NOTHING_KEPT, Cache, Keeper, NoCache, narrowed
from stepwell.report.starts import UnknownStartError
from stepwell.report.world import ENDS, CircuitWorld, Here
from stepwell.rules.applies import rules_for, unrecorded
from stepwell.rules.ground import instantiate
from stepwell.slips.confirm import confirmed
from stepwell.slips.edit import AGAIN
from stepwell.slips.numbered import HARM, AnyHarm, EndingAtHarm, Numbered
from stepwell.slips.results import Outcome, Slip, SlipReport
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """One search in short: rules (not ``ends``) with (length, where, at the end), and what stopped or caught runs."""

    broken: tuple[tuple[str, int, str | None], ...]
    stops: tuple[tuple[int, str, bool], ...]
    """(length, step or hold, True if it was a look), shortest first."""
    misses_end: bool
    complete: bool
    problems: tuple[Problem, ...]


class UpToHarm:
    """A world in which a run ends at the first violation of one of ``rules``.

    What comes after it would only be harm on top; the shortest run to any of these rules has none of them before.
    """

    def __init__(self, world: CircuitWorld, rules: frozenset[str]) -> None:
        self.world, self.rules = world, rules
        self.starts, self.observe, self.finish = world.starts, world.observe, world.finish

    def act(self, state: Here, node: Do) -> Acted[Here]:
        """Do a node's actions; refused (whatever came of it) if that is the harm."""
        acted = self.world.act(state, node)
        return acted if self.rules.isdisjoint(acted.broke) else Acted(None, "harm", acted.broke)


class Searches:
    """Searches of changed bodies in one world, whose memory of the circuit serves all of them."""

    def __init__(self, world: CircuitWorld, clock: Callable[[], float], bounds: Bounds) -> None:
        self.world, self.clock, self.bounds = world, clock, bounds
        self.numbered = Numbered(world)
        self.stop_at = clock() + bounds.seconds

    def look(self, body: Body, harm: frozenset[str] = frozenset()) -> Seen:
        """Search all orders of a body, each up to the first violation of one of the rules ``harm``."""
        program = compile_body(body, timed=self.world.counts_time)
        result = search(program, EndingAtHarm(self.numbered, program, harm), bounds=self._left(), clock=self.clock)

        def name(index: int) -> str:
            node = program.nodes[index]
            return node.name.removesuffix(AGAIN)

        def last(moves: tuple[int, ...]) -> str | None:
            return next((name(index) for index in reversed(moves) if isinstance(program.nodes[index], Do)), None)

        broken = tuple(
            (found.rule, found.run.length, None if found.at_end else last(tuple(move.node for move in found.run.moves)))
            for found in result.violated
        )
        failed = (*result.blocked, *result.aborted)
        stops = [(found.run.length, name(found.node), False) for found in result.refused]
        stops += [(found.run.length, name(found.node), True) for found in failed]
        return Seen(
            broken=tuple(one for one in broken if one[0] != ENDS),
            stops=tuple(sorted(stops)),
            misses_end=any(found.rule == ENDS for found in result.violated),
            complete=result.complete,
            problems=program.problems,
        )

    def harms(self, body: Body, rules: frozenset[str]) -> bool:
        """True if some order of a body violates one of these rules, as far as that was searched."""
        program = compile_body(body, timed=self.world.counts_time)
        world = AnyHarm(self.numbered, program, rules)
        wanted = frozenset((HARM,))
        return bool(search(program, world, wanted=wanted, bounds=self._left(), clock=self.clock).violated)

    def _left(self) -> Bounds:
        return Bounds(states=self.bounds.states, seconds=max(0.0, self.stop_at - self.clock()))


class Finder:
    """One body on its rig, judged by ``rules``, which are those of the world."""

    def __init__(
        self,
        world: CircuitWorld,
        body: Body,
        rig: Rig,
        rules: tuple[Rule, ...],
        *,
        clock: Callable[[], float],
        bounds: Bounds = BOUNDS,
    ) -> None:
        self.codes = {rule.name: rule.code for rule in rules}
        self.severity = {rule.name: rule.severity for rule in rules}
        self.body, self.rig = body, rig
        self.steps = {step.id: step for step in steps_of(body)}
        self.searches = Searches(world, clock, bounds)
        self.base = self.searches.look(self.body)
        self.unseen_base = self.searches.look(blind(self.body))
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
        seen = self.searches.look(variant.body, self.fatal)
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
        fatal = self.searches.harms(blind(variant.body), self.unseen_fatal)
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
            looked = self.searches.look(second.body, self.fatal)
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
        seen = self.searches.look(without_check(variant.body, check), self.fatal)
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
