"""Findings from runs: what was violated, by which shortest order, and who set the trap."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from stepwell.diagnostics.finding import Finding, Related
from stepwell.diagnostics.span import Span
from stepwell.model.predicate import AllOf, AnyOf, Predicate
from stepwell.model.procedure import Procedure, Step, steps_of
from stepwell.model.rule import Rule
from stepwell.model.tri import Tri
from stepwell.orders.program import Ask, Bar, Do, Look, Loop, Node, Program
from stepwell.orders.searched import Failed, Searched, Violation
from stepwell.report.behind import TRAP, Met
from stepwell.report.faults import (
    ALREADY_SO,
    CANNOT_BE_DONE,
    CANNOT_FINISH,
    ENDS_NOT_REACHED,
    EXPECTATION_NOT_MET,
    HOLD_NOT_MET,
    ORDER_NOT_COMPILED,
    Fault,
)
from stepwell.report.narrate import parts_in
from stepwell.report.runs import Told
from stepwell.report.time_notes import time_notes
from stepwell.report.trap import Trap, broken_instance, find_trap, looks_after, wanted_of
from stepwell.report.where import places_of, span_of
from stepwell.report.world import ENDS, CircuitWorld, Here
from stepwell.rules.evaluate import evaluate
from stepwell.rules.ground import GroundRule, Matched
from stepwell.rules.in_words import in_words

NOTHING_BEHIND: Mapping[str, Met] = {}


class RunFindings:
    """Everything that one search has to say, as findings. ``behind``: what each look that fails keeps from happening."""

    def __init__(
        self,
        world: CircuitWorld,
        program: Program,
        procedure: Procedure,
        rules: tuple[Rule, ...],
        result: Searched[Here],
        behind: Mapping[str, Met] = NOTHING_BEHIND,
    ) -> None:
        self.behind = behind
        self.world = world
        self.program = program
        self.procedure = procedure
        self.rules = {rule.name: rule for rule in rules}
        self.result = result
        self.steps: dict[str, Step] = {step.id: step for step in steps_of(procedure.body)}
        self.places = places_of(procedure.body)
        self.numbers = {step.id: number for number, step in enumerate(steps_of(procedure.body), 1)}

    def violations(self) -> tuple[Finding, ...]:
        """One finding per violated rule of the catalogue."""
        return tuple(self._violation(found) for found in self.result.violated if found.rule in self.rules)

    def others(self) -> tuple[Finding, ...]:
        """Refused actions, unmet expectations and holds, ends not reached, and what was so already."""
        found: list[Finding] = []
        ends = self.result.violation(ENDS)
        if ends is not None:
            found.append(self._ends(ends))
        found += [
            self._refused(item.node, item.reason, Told(self.world, self.program, item.run, self.procedure))
            for item in self.result.refused
        ]
        found += [self._failed(item) for item in (*self.result.blocked, *self.result.aborted) if self._judged(item)]
        if self.result.stuck is not None and not found:
            told = Told(self.world, self.program, self.result.stuck.run, self.procedure)
            message = "From here no order reaches the end of the card."
            found.append(self._fault(CANNOT_FINISH, message, "", told, (), self._last_step(told)))
        for problem in self.program.problems:
            found.append(self._plain(ORDER_NOT_COMPILED, problem.message, problem.step))
        for (step, sentence), _ in sorted(self.world.already.items()):
            found.append(self._plain(ALREADY_SO, f"{_capital(sentence)} when this step is done.", step))
        return tuple(found)

    def _violation(self, found: Violation) -> Finding:
        rule = self.rules[found.rule]
        told = Told(self.world, self.program, found.run, self.procedure)
        nodes = tuple(told.nodes)
        instance = broken_instance(self.world, found.rule, told.states_around(), nodes, found.at_end)
        binding = dict(instance.bindings) if instance is not None else {}
        rig = self.world.layout.rig
        wanted = wanted_of(instance) if instance is not None else AllOf(())
        if instance is not None and isinstance(instance.shape, Matched) and instance.shape.fixed:
            return self._of_the_rig(instance, instance.shape.part)
        after = found.at_end or instance is None or looks_after(instance)
        looked_at = told.asks if after else told.asks[:-1]
        trap = find_trap(self.world, wanted, looked_at, self.program, found.run, nodes)
        step = None if found.at_end or not nodes else nodes[-1].step
        parts = tuple(dict.fromkeys((*binding.values(), *parts_in(wanted))))[:8]
        return Finding(
            rule=rule.name,
            code=rule.code,
            severity=rule.severity,
            certainty=rule.certainty,
            message=instance.message(rig) if instance is not None else rule.title,
            mend=instance.mend(rig) if instance is not None else rule.mend,
            span=self._span(step),
            procedure=self.procedure.id,
            step=step,
            related=(
                *self._related(trap, told, found.at_end),
                *(Related(message=note) for note in (time_notes(self.world, instance, told) if instance else ())),
            ),
            trace=told.trace(parts, trap.node, spring=not found.at_end, shortest=found.shortest),
        )

    def _of_the_rig(self, instance: GroundRule, part: str) -> Finding:
        """What hangs on the rig alone is told of its file: no order leads there, and no step could mend it."""
        rig = self.world.layout.rig
        found = rig.part(part)
        return Finding(
            rule=instance.rule.name,
            code=instance.rule.code,
            severity=instance.rule.severity,
            certainty=instance.rule.certainty,
            message=instance.message(rig),
            mend=instance.mend(rig),
            span=rig.span if found is None else found.span or rig.span,
            procedure=self.procedure.id,
        )

    def _related(self, trap: Trap, told: Told, at_end: bool) -> tuple[Related, ...]:
        notes: list[Related] = []
        if trap.node >= 0:
            step = told.nodes[trap.node].step
            notes.append(
                Related(
                    message=f"{TRAP}{self._number(step)} {told.lines[trap.node].does}.", span=self._span(step), step=step
                )
            )
        elif trap.cure:
            message = f"What would help comes too late: {self._number(trap.cure)}."
            notes.append(Related(message=message, span=self._span(trap.cure), step=trap.cure))
        elif trap.literal is not None:
            help_ = in_words(trap.literal, self.world.layout.labels, negated=trap.wanted is Tri.NO)
            notes.append(Related(message=f"What would help is never done: {help_}."))
        if not at_end and told.nodes:
            step = told.nodes[-1].step
            notes.append(
                Related(message=f"The spring: {self._number(step)} {told.lines[-1].does}.", span=self._span(step), step=step)
            )
        elif at_end:
            notes.append(Related(message="The spring: the end of the card."))
        return tuple(notes)

    def _ends(self, found: Violation) -> Finding:
        told = Told(self.world, self.program, found.run, self.procedure)
        unmet = self.world.unmet_ends(told.states[-1])
        said = "; ".join(in_words(end, self.world.layout.labels) for end in unmet)
        parts = tuple(dict.fromkeys(part for end in unmet for part in parts_in(end)))[:8]
        trap = find_trap(self.world, AllOf(unmet), told.asks, self.program, found.run, tuple(told.nodes))
        return Finding(
            rule=ENDS_NOT_REACHED.name,
            code=ENDS_NOT_REACHED.code,
            severity=ENDS_NOT_REACHED.severity,
            message=f"The card may end although this is not surely so: {said}.",
            mend="Add or move the step that makes it so before the end, or take it out of `ends`.",
            span=self._of_ends(unmet) or self.procedure.ends_span or self.procedure.span,
            procedure=self.procedure.id,
            related=self._related(trap, told, True),
            trace=told.trace(parts, trap.node, spring=False, shortest=found.shortest),
        )

    def _refused(self, node: int, reason: str, told: Told) -> Finding:
        action = self.program.nodes[node]
        step = action.step if isinstance(action, Do) else None
        message = f"In some permitted order this can't be done: {told.lines[-1].does} - {reason}."
        return self._fault(
            CANNOT_BE_DONE, message, "Add or move a step so that it can be done in every order.", told, (), step
        )

    def _judged(self, item: Failed) -> bool:
        """Readings and sights are not modelled: that they may fail is what ``if-not`` is for."""
        node = self.program.nodes[item.node]
        if isinstance(node, Look):
            return 0 < item.option <= len(node.conditions)
        return True

    def _failed(self, item: Failed) -> Finding:
        node = self.program.nodes[item.node]
        told = Told(self.world, self.program, item.run, self.procedure)
        conditions: tuple[Predicate, ...] = getattr(node, "conditions", ())
        if isinstance(node, Ask):
            # Every answer has its guard, or the run would not be stopped here; one of them would have to be so.
            conditions = (AnyOf(tuple(option.guard for option in node.options if option.guard is not None)),)
        index = item.option - 1 if isinstance(node, Look) else max(item.option - 1, 0)
        state = told.states[-1].circuit
        wanted = [self.world.grounded(c) for c in conditions]
        unmet = [w for w in wanted if evaluate(w, self.world.ask(state)) is not Tri.YES]
        about = unmet[0] if unmet else wanted[index] if index < len(wanted) else AllOf(())
        is_not = "is not so" if item.truth is Tri.NO else "is not surely so"
        fault = HOLD_NOT_MET if isinstance(node, Bar) else EXPECTATION_NOT_MET
        message = f'{_what(node)} "{in_words(about, self.world.layout.labels)}", which {is_not} in some permitted order.'
        mend = _mend(node)
        trap = find_trap(self.world, about, told.asks, self.program, item.run, tuple(told.nodes))
        step = node.step if isinstance(node, Look) else None
        found = self._fault(fault, message, mend, told, parts_in(about)[:8], step, trap)
        pairs = zip(conditions, wanted, strict=True) if isinstance(node, Look | Bar) else ()
        exact = next((span_of(condition) for condition, on_rig in pairs if on_rig == about), None)
        found = replace(found, span=exact or (None if step else self.places.get(node.name)) or found.span)
        met = self.behind.get(node.name)
        return found if met is None else self._worse(found, met)

    def _worse(self, found: Finding, met: Met) -> Finding:
        """A look that fails is as bad as what it keeps from happening."""
        where = "at the end of the card"
        if met.step is not None:
            where = f"at {self._number(met.step)}"
        title = met.rule.title[:1].lower() + met.rule.title[1:]
        note = f"If people went on all the same, {where}: {title} ({met.rule.severity.word}, {met.rule.name})."
        return replace(
            found,
            severity=max(found.severity, met.rule.severity),
            related=(*found.related, Related(message=note, span=self._span(met.step), step=met.step)),
        )

    def _of_ends(self, unmet: tuple[Predicate, ...]) -> Span | None:
        """The place of the first end that is not reached."""
        return next((span_of(end) for end in self.procedure.ends if self.world.grounded(end) in unmet), None)

    def _fault(
        self,
        fault: Fault,
        message: str,
        mend: str,
        told: Told,
        parts: tuple[str, ...],
        step: str | None,
        trap: Trap | None = None,
    ) -> Finding:
        return Finding(
            rule=fault.name,
            code=fault.code,
            severity=fault.severity,
            message=message,
            mend=mend,
            span=self._span(step),
            procedure=self.procedure.id,
            step=step,
            related=() if trap is None else tuple(r for r in self._related(trap, told, True) if "spring" not in r.message),
            trace=told.trace(parts, -1 if trap is None else trap.node, spring=False),
        )

    def _plain(self, fault: Fault, message: str, step: str) -> Finding:
        return Finding(
            rule=fault.name,
            code=fault.code,
            severity=fault.severity,
            message=message,
            span=self._span(step),
            procedure=self.procedure.id,
            step=step,
        )

    def _span(self, step: str | None) -> Span | None:
        found = self.steps.get(step) if step else None
        return self.procedure.ends_span or self.procedure.span if found is None else found.do_span or found.span

    def _number(self, step: str) -> str:
        found = self.steps.get(step)
        who = "" if found is None else f", {found.who}"
        return f"step {self.numbers.get(step, 0)} ({step}{who})"

    def _last_step(self, told: Told) -> str | None:
        return told.nodes[-1].step if told.nodes else None


def _mend(node: Node) -> str:
    match node:
        case Ask():
            return "Add an answer for that case."
        case Bar():
            return "Add or move the step that makes it so before this hold, or correct `until`."
        case Loop():
            return "Add or move the step that makes it so into the repeat, or correct `until`."
        case _:
            return "Add or move the step that makes it so before this one, or correct `expect`."


def _what(node: Node) -> str:
    match node:
        case Bar():
            return "This hold waits for"
        case Loop():
            return "After its last round this repeat waits for"
        case Ask():
            return "Every answer to this question is for the case"
        case _:
            return "This step expects"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
