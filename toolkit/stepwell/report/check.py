"""The check: from a workspace to verdicts and findings, as one function of values."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass, field, replace
from datetime import date
from functools import partial

from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.layout import State
from stepwell.diagnostics.finding import Finding, reading_order
from stepwell.diagnostics.span import Span
from stepwell.model.policy import topic as topic_of
from stepwell.model.procedure import Procedure
from stepwell.model.rig import Rig
from stepwell.model.rule import AtTheEnd, Rule
from stepwell.model.workspace import Workspace
from stepwell.orders.compile import compile_body
from stepwell.orders.count import count_orders
from stepwell.orders.program import Program
from stepwell.orders.search import Bounds, search
from stepwell.orders.searched import Reached, Searched
from stepwell.report.behind import Behind, Met, as_bad_as_its_trap
from stepwell.report.bites import Witnesses
from stepwell.report.by_order import ByOrder
from stepwell.report.explain_finding import RunFindings
from stepwell.report.faults import POLICY_NOT_RECORDED
from stepwell.report.keep import NOTHING_KEPT, Cache, Keeper, NoCache, narrowed
from stepwell.report.pictures import pictures_of
from stepwell.report.results import Bound, CheckReport, Orders, ProcedureReport, Status, Verdict
from stepwell.report.starts import UnknownStartError, nothing_done, start_states, starts_not_told
from stepwell.report.waivers import Elsewhere, Waived, waived
from stepwell.report.world import CircuitWorld, Here
from stepwell.rules.applies import rules_for, unrecorded
from stepwell.rules.ground import GroundRule, instantiate
from stepwell.rules.sentence import sentence
from stepwell.rules.words_and_actions import words_and_actions
from stepwell.rules.writing.all_rules import writing_findings
from stepwell.rules.writing.page import Page

NO_END = "no order reaches the end of the card"
NAMED = 4
"""So many of the steps that stood open are named where a search was cut short."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """How far to search, and whether to look for the witnesses that rules bite."""

    bounds: Bounds = field(default_factory=lambda: Bounds(states=400_000, seconds=60.0))
    bites: bool = True
    as_of: date | None = None
    """The day on which waivers are judged; without one none applies. ``check_workspace`` sets it."""


def check_workspace(
    workspace: Workspace,
    *,
    as_of: date,
    clock: Callable[[], float],
    findings: Collection[Finding] = (),
    procedures: Collection[str] | None = None,
    options: Options = Options(),
    progress: Callable[[str], None] = lambda _: None,
    cache: Cache = NOTHING_KEPT,
) -> CheckReport:
    """Check every procedure (or those named). ``findings`` are those of the loader and are passed on.

    ``clock`` gives seconds, as time.monotonic does; it bounds the search and dates nothing. Reports are looked for in
    ``cache`` first; those that were cut short are not kept.
    """
    reports: list[ProcedureReport] = []
    options = replace(options, as_of=as_of)
    keeper = None if isinstance(cache, NoCache) else Keeper(cache, as_of, options)
    for procedure in workspace.procedures:
        if procedures is not None and procedure.id not in procedures:
            continue
        progress(procedure.title)
        part = narrowed(workspace, procedure)
        make = partial(_made, part, procedure, clock, options)
        reports.append(make()[0] if keeper is None else keeper.recall(ProcedureReport, "check", part, make))
    every = [*findings, *(finding for report in reports for finding in report.findings)]
    return CheckReport(as_of=as_of, procedures=tuple(reports), findings=tuple(sorted(every, key=reading_order)))


def _made(
    part: Workspace, procedure: Procedure, clock: Callable[[], float], options: Options
) -> tuple[ProcedureReport, bool]:
    """The report, and whether it is the same whenever it is made: it was neither cut short nor pressed for time."""
    began = clock()
    report = check_procedure(part, procedure, clock=clock, options=options)
    return report, report.checked and report.complete and clock() - began < options.bounds.seconds


def check_procedure(
    workspace: Workspace, procedure: Procedure, *, clock: Callable[[], float], options: Options
) -> ProcedureReport:
    """Search every permitted order of one procedure and judge every rule on it."""
    rig = next((rig for rig in workspace.rigs if rig.id == procedure.rig), None)
    if procedure.wording_only or rig is None:
        return ProcedureReport(
            procedure=procedure.id,
            title=procedure.title,
            checked=False,
            orders=None,
            states=0,
            verdicts=(),
            findings=(
                *(nothing_done(procedure) if procedure.wording_only else ()),
                *writing_findings(Page(procedure, rig, workspace.unit)),
            ),
        )
    return _Check(workspace, procedure, rig, clock, options).report()


def known_starts(
    workspace: Workspace, procedure: Procedure, rig: Rig, *, clock: Callable[[], float], bounds: Bounds
) -> tuple[State, ...]:
    """The states that a procedure may start from, also where it starts from another's end. Raises UnknownStartError."""
    check = _Check(workspace, procedure, rig, clock, Options(bounds=bounds))
    if check.start_problem:
        raise UnknownStartError(check.start_problem)
    return check.starts


class _Check:
    """One procedure on its rig."""

    def __init__(
        self,
        workspace: Workspace,
        procedure: Procedure,
        rig: Rig,
        clock: Callable[[], float],
        options: Options,
        seen: tuple[str, ...] = (),
    ) -> None:
        self.seen = seen or (procedure.id,)
        self.procedure = procedure
        self.unit = workspace.unit
        self.waivers = tuple(one for one in workspace.waivers if one.procedure == procedure.id and one.slip is None)
        self.rig = rig
        self.clock = clock
        self.options = options
        self.layout = compile_rig(rig)
        self.rules = rules_for(workspace.rules, procedure, workspace.unit)
        self.no_policy = {rule.name: topics for rule in self.rules if (topics := unrecorded(rule, workspace.unit))}
        self.findings: list[Finding] = []
        self.ground: list[GroundRule] = []
        self.not_ground: dict[str, str] = {}
        for rule in self.rules:
            self._ground(rule)
        self.program: Program = compile_body(procedure.body)
        self.start_problem = ""
        self.starts: tuple[State, ...] = ()
        try:
            self.starts = start_states(self.layout, procedure, self._handed_over(workspace))
        except UnknownStartError as problem:
            self.start_problem = str(problem)

    def _handed_over(self, workspace: Workspace) -> tuple[State, ...]:
        """The states in which the procedure that this one starts from can end; empty where it starts from a baseline."""
        name = self.procedure.starts.procedure if self.procedure.starts is not None else None
        if name is None:
            return ()
        if name in self.seen:
            raise UnknownStartError(f"{name} starts, in the end, from itself")
        before = next((found for found in workspace.procedures if found.id == name), None)
        if before is None or before.wording_only:
            raise UnknownStartError(f"the order of {name} is not checked, so where it ends is not known")
        if before.rig != self.rig.id:
            raise UnknownStartError(
                f"{name} is written for another rig ({before.rig}), so its end says nothing about this one"
            )
        earlier = _Check(workspace, before, self.rig, self.clock, self.options, seen=(*self.seen, name))
        if earlier.start_problem:
            raise UnknownStartError(f"{name}: {earlier.start_problem}")
        result = search(earlier.program, earlier.world(), bounds=self.options.bounds, clock=self.clock)
        if not result.complete or not result.ended:
            raise UnknownStartError(f"not every end of {name} could be found")
        return tuple(dict.fromkeys(end.state.circuit for end in result.ended))

    def _ground(self, rule: Rule) -> None:
        found = instantiate(rule, self.rig)
        self.ground.extend(found.ground)
        if found.unfit:
            self.not_ground[rule.name] = "; ".join(found.unfit[0].reasons)
            self.findings.append(replace(found.unfit[0].finding(self.rig), procedure=self.procedure.id))

    def world(self) -> CircuitWorld:
        """A fresh world; what rules exercise is counted per world."""
        return CircuitWorld(self.layout, self.starts, tuple(self.ground), self.procedure.ends)

    def waived(self, statuses: dict[str, Status], found: dict[str, Finding]) -> Waived:
        """What the unit's waivers make of the findings."""
        labels = {role.id: role.label for role in self.unit.roles}
        day = self.options.as_of
        return waived(self.waivers if day else (), statuses, found, day or date.min, labels, self._elsewhere)

    def _elsewhere(self, rule: str, steps: frozenset[str]) -> Elsewhere:
        pairs = frozenset((rule, step) for step in steps)
        world = CircuitWorld(self.layout, self.starts, tuple(self.ground), self.procedure.ends, waived=pairs)
        result = search(self.program, world, bounds=self.options.bounds, clock=self.clock)
        told = RunFindings(world, self.program, self.procedure, self.rules, result).violations()
        return Elsewhere(
            finding=next((finding for finding in told if finding.rule == rule), None),
            complete=result.complete,
            hit=frozenset(step for _, step in world.waived_hits),
        )

    def report(self) -> ProcedureReport:
        """Search, judge, find the witnesses, tell."""
        world = self.world()
        started = self.clock()
        result = search(self.program, world, bounds=self.options.bounds, clock=self.clock)
        spent = (self.clock() - started) * 1000.0
        counted = count_orders(self.program)
        orders = Orders(number=counted.number, exact=counted.exact)
        told = RunFindings(world, self.program, self.procedure, self.rules, result, self._behind(result))
        by_rule = {finding.rule: finding for finding in told.violations() if finding.rule not in self.no_policy}
        by_order = self._by_order(world, result)
        statuses = self._statuses(world, result, by_order)
        if by_order and Status.NOT_DECIDED not in statuses.values():
            # That every order can be finished is known of no search that was cut short, and it has no verdict of its own.
            by_order = frozenset()
            statuses = self._statuses(world, result, by_order)
        waived = self.waived(statuses, by_rule)
        holding = frozenset(name for name, status in statuses.items() if status is Status.HOLDS) - by_order
        witnesses = Witnesses(procedure=self.procedure, make_world=self.world, bounds=self.options.bounds, clock=self.clock)
        bites = witnesses.find(holding) if self.options.bites else {}
        verdicts = tuple(
            Verdict(
                procedure=self.procedure.id,
                rule=rule.name,
                code=rule.code,
                title=rule.title,
                sentence=sentence(rule),
                severity=rule.severity,
                status=statuses[rule.name],
                orders=orders,
                bites=bites.get(rule.name),
                bound=self._bound(rule, statuses[rule.name], result, world),
                waiver=waived.covers.get(rule.name),
                searched=not (statuses[rule.name] is Status.HOLDS and rule.name in by_order),
                finding=next(iter(waived.found.get(rule.name, ())), None),
                milliseconds=spent,
                rig=self.rig.id,
                rig_version=self.rig.version,
                inspected=self.rig.inspected,
            )
            for rule in self.rules
        )
        self.findings += [finding for rule in self.rules for finding in waived.found.get(rule.name, ())]
        self.findings += [*told.others(), *waived.faults, *self._policy_findings(statuses)]
        self.findings += [*starts_not_told(self.procedure, self.rig), *words_and_actions(self.procedure, self.rig)]
        self.findings += writing_findings(Page(self.procedure, self.rig, self.unit))
        return ProcedureReport(
            procedure=self.procedure.id,
            title=self.procedure.title,
            checked=True,
            orders=orders,
            states=result.states,
            verdicts=verdicts,
            findings=tuple(sorted(as_bad_as_its_trap(self.findings), key=reading_order)),
            pictures=pictures_of(world, self.procedure),
            complete=result.complete and not self.program.problems and not self.start_problem,
            starts=self.starts,
        )

    def _behind(self, result: Searched[Here]) -> dict[str, Met]:
        rules = {rule.name: rule for rule in self.rules if rule.name not in self.no_policy}
        behind = Behind(
            procedure=self.procedure, rules=rules, make_world=self.world, bounds=self.options.bounds, clock=self.clock
        )
        return behind.all_of(self.program, result)

    def _policy_findings(self, statuses: dict[str, Status]) -> list[Finding]:
        """One for each disputed order that the procedure has and on which the unit has recorded nothing."""
        asked = (
            (topic, name)
            for name, topics in self.no_policy.items()
            if statuses[name] is Status.NOT_DECIDED
            for topic in topics
        )
        place = Span(path=self.unit.path, line=1, column=1, end_line=1, end_column=1)
        return [
            Finding(
                rule=POLICY_NOT_RECORDED.name,
                code=POLICY_NOT_RECORDED.code,
                severity=POLICY_NOT_RECORDED.severity,
                message=f"Published orders disagree on “{topic}”, and the unit has recorded no policy on it; "
                f"“{rule}” can't be judged.",
                mend=f"Decide it, and record it in unit.yaml: {_choices(topic)}.",
                span=place if self.unit.path else None,
                procedure=self.procedure.id,
            )
            for topic, rule in asked
        ]

    def _by_order(self, world: CircuitWorld, result: Searched[Here]) -> frozenset[str]:
        """Rules that the order of the steps alone keeps from being broken; asked only where the search was cut short."""
        if result.complete or self.start_problem or self.program.problems:
            return frozenset()
        asked = ByOrder(self.program, self.layout, self.starts, world.grounded)
        judged = [one for one in self.ground if one.rule.name not in self.no_policy]
        return asked.shown(judged) if asked.bears_out(world.transitions()) else frozenset()

    def _statuses(self, world: CircuitWorld, result: Searched[Here], by_order: frozenset[str]) -> dict[str, Status]:
        return {rule.name: self._status(rule, world, result, by_order) for rule in self.rules}

    def _status(self, rule: Rule, world: CircuitWorld, result: Searched[Here], by_order: frozenset[str]) -> Status:
        if rule.name in self.no_policy and rule.name in world.exercised:
            return Status.NOT_DECIDED
        if result.violation(rule.name) is not None:
            return Status.VIOLATED
        if rule.name not in self.not_ground and not any(one.rule is rule for one in self.ground):
            return Status.NOT_APPLICABLE
        if self.start_problem or rule.name in self.not_ground or self.program.problems:
            return Status.NOT_DECIDED
        if rule.name in by_order:
            return Status.HOLDS
        if not result.complete:
            return Status.NOT_DECIDED
        if isinstance(rule.shape, AtTheEnd) and not result.finishes:
            return Status.NOT_DECIDED
        if rule.name in world.undecided:
            return Status.NOT_DECIDED
        return Status.HOLDS if rule.name in world.exercised else Status.NOT_APPLICABLE

    def _bound(self, rule: Rule, status: Status, result: Searched[Here], world: CircuitWorld) -> Bound | None:
        if status is not Status.NOT_DECIDED:
            return None
        if result.bound is not None:
            return Bound(states=result.bound.states, length=result.bound.length, reason=_told(result.bound))
        reason = (
            self.start_problem
            or self.not_ground.get(rule.name)
            or " and ".join(f"the unit has recorded no policy on {topic}" for topic in self.no_policy.get(rule.name, ()))
            or ("the order of steps could not be compiled" if self.program.problems else "")
            or world.undecided.get(rule.name, NO_END)
        )
        return Bound(states=result.states, length=result.longest, reason=reason)


def _told(bound: Reached) -> str:
    """Where the search stopped, and what filled it until then."""
    if not bound.open:
        return f"stopped at {bound.reason}"
    names = ", ".join(bound.open[:NAMED]) + (", ..." if len(bound.open) > NAMED else "")
    wide = f"up to {len(bound.open)} steps open at once ({names})"
    return f"stopped at {bound.reason}, with {wide} and {bound.worlds} states of the circuit"


def _choices(name: str) -> str:
    found = topic_of(name)
    return " or ".join(f"`{name}: {word}`" for word in (found.words if found else ()))
