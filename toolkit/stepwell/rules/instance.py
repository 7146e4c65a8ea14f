"""A rule on a rig: one instance per binding of its variables."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.model.predicate import Predicate, Ref
from stepwell.model.rig import Rig
from stepwell.model.rule import AtTheEnd, Becomes, BeforeDoing, Never, Order, Rule
from stepwell.rules.evaluate import Failing
from stepwell.rules.ground import Ask, Bindings, Ground, Literal, Missing, ground, literals_of, reasons, select, targets
from stepwell.rules.message import filled_in
from stepwell.rules.shapes.at_the_end import AtTheEndWatcher
from stepwell.rules.shapes.becomes import BecomesWatcher
from stepwell.rules.shapes.before_doing import BeforeDoingWatcher
from stepwell.rules.shapes.moment import Moment, Watched, Watcher
from stepwell.rules.shapes.never import NeverWatcher
from stepwell.rules.shapes.order import Deed, OrderWatcher

NOT_GROUND_RULE = "rule-does-not-fit-rig"
NOT_GROUND_CODE = "SW203"


@dataclass(frozen=True, slots=True, kw_only=True)
class Instance:
    """One rule with its variables bound to parts. ``bindings`` are (variable, part id) in the rule's order.

    ``watch``, ``finish`` and ``failing`` as in ``shapes.moment.Watcher``. ``verbs`` are the only verbs that can set it
    off, None where any may: a search may skip the others. ``literals`` are all that it asks.
    """

    rule: Rule
    bindings: tuple[tuple[str, str], ...]
    watcher: Watcher
    literals: frozenset[Literal]
    verbs: frozenset[str] | None

    def watch(self, moment: Moment, memory: int) -> Watched:
        """Look at one transition of a run."""
        return self.watcher.watch(moment, memory)

    def finish(self, ask: Ask, memory: int) -> Watched:
        """Look at the state in which the card ends."""
        return self.watcher.finish(ask, memory)

    def failing(self, moment: Moment) -> tuple[Failing, ...]:
        """The literals that made it fire, for the story of trap and spring."""
        return self.watcher.failing(moment)

    def message(self, rig: Rig) -> str:
        """The rule's message with the labels of the bound parts."""
        return filled_in(self.rule.message or self.rule.title, rig, dict(self.bindings))

    def mend(self, rig: Rig) -> str:
        """The rule's mend with the labels of the bound parts."""
        return filled_in(self.rule.mend, rig, dict(self.bindings))


@dataclass(frozen=True, slots=True, kw_only=True)
class Unfit:
    """A rule that could not be bound to parts of a rig; it is not decided there, never silently held."""

    rule: Rule
    bindings: tuple[tuple[str, str], ...]
    reasons: tuple[str, ...]

    def finding(self, rig: Rig) -> Finding:
        """What the author of the rig has to answer for."""
        return Finding(
            rule=NOT_GROUND_RULE,
            code=NOT_GROUND_CODE,
            severity=Severity.SERIOUS,
            message=f"The rule “{self.rule.title}” can't be decided on the rig {rig.id}: {'; '.join(self.reasons)}.",
            mend="Complete the rig, or correct the rule.",
            span=rig.span,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Instances:
    """A rule on a rig. Both empty: the rig has none of the parts that the rule is about, so it is not applicable."""

    ground: tuple[Instance, ...]
    unfit: tuple[Unfit, ...]


def instantiate(rule: Rule, rig: Rig) -> Instances:
    """Bind the rule's variables to the rig's parts in every way; a rule without variables has one instance."""
    fit: list[Instance] = []
    unfit: list[Unfit] = []
    for bindings in _bindings(rule, rig):
        watcher = _watcher(rule, rig, dict(bindings))
        if isinstance(watcher, Missing):
            unfit.append(Unfit(rule=rule, bindings=bindings, reasons=(watcher.reason,)))
            continue
        predicates = watcher.predicates()
        missing = tuple(dict.fromkeys(reason for predicate in predicates for reason in reasons(predicate)))
        if missing:
            unfit.append(Unfit(rule=rule, bindings=bindings, reasons=missing))
            continue
        literals = frozenset(literal for predicate in predicates for literal in literals_of(predicate))
        fit.append(Instance(rule=rule, bindings=bindings, watcher=watcher, literals=literals, verbs=_verbs(rule)))
    return Instances(ground=tuple(fit), unfit=tuple(unfit))


def _bindings(rule: Rule, rig: Rig) -> Iterator[tuple[tuple[str, str], ...]]:
    names = [name for name, _ in rule.for_every]
    for parts in product(*(select(rig, selector) for _, selector in rule.for_every)):
        yield tuple(zip(names, (part.id for part in parts), strict=True))


def _watcher(rule: Rule, rig: Rig, bindings: Bindings) -> Watcher | Missing:
    def bound(predicate: Predicate) -> Ground:
        return ground(predicate, rig, bindings)

    when = bound(rule.when)
    match rule.shape:
        case Never(state=state):
            return NeverWatcher(when, bound(state))
        case Becomes(event=event, unless=unless):
            return BecomesWatcher(when, bound(event), bound(unless))
        case BeforeDoing(verb=verb, part=part, require=require):
            parts = _parts(part, rig, bindings)
            return parts if isinstance(parts, Missing) else BeforeDoingWatcher(when, verb, parts, bound(require))
        case AtTheEnd(require=require):
            return AtTheEndWatcher(when, bound(require))
        case Order(first=first, then=then):
            before, after = _deed(first, rig, bindings), _deed(then, rig, bindings)
            if isinstance(before, Missing):
                return before
            return after if isinstance(after, Missing) else OrderWatcher(when, before, after)


def _parts(ref: Ref | None, rig: Rig, bindings: Bindings) -> tuple[str, ...] | None | Missing:
    return None if ref is None else targets(ref, rig, bindings)


def _deed(deed: tuple[str, Ref | None], rig: Rig, bindings: Bindings) -> Deed | Missing:
    parts = _parts(deed[1], rig, bindings)
    return parts if isinstance(parts, Missing) else (deed[0], parts)


def _verbs(rule: Rule) -> frozenset[str] | None:
    match rule.shape:
        case BeforeDoing(verb=verb):
            return frozenset({verb})
        case Order(first=(first, _), then=(then, _)):
            return frozenset({first, then})
        case _:
            return None
