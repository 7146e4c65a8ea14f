"""Predicates and rules bound to one rig: no variables, no quantifiers, only named facts of named parts.

``s.site`` becomes the part that the rig names there. Where it names several, the fact becomes the conjunction over all
of them ("the sites of s are dry"). Where it names none, nothing can be said: the fact becomes one that always may be, and
``instantiate`` reports the rule as unfit for this rig, with the reason, instead of guessing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product

from stepwell.circuit.catalogue import fact
from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.model.predicate import ALWAYS, AllOf, AnyOf, Fact, Not, Predicate, Quantified, Ref, Selector
from stepwell.model.rig import Part, Rig
from stepwell.model.rule import (
    AtTheEnd,
    Becomes,
    BeforeDoing,
    Enough,
    Match,
    Never,
    NeverLonger,
    Order,
    Rule,
    Shape,
    Within,
)
from stepwell.quantities.units import dimension_of, to
from stepwell.rules.evaluate import CANNOT_BE_ASKED, words_of
from stepwell.rules.message import filled_in, refs_to

UNFIT_RULE = "rig-lacks-reference"
UNFIT_CODE = "SW208"

_NEVER = AnyOf(())

Bindings = Mapping[str, str]
"""Which part each variable stands for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """*enough* on a rig: of so many ``cases`` at ``most`` so many may hold."""

    cases: tuple[Predicate, ...]
    most: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Matched:
    """*match* on a rig: ``wrong`` is so where the two do not go together. ``part`` is the one whose word is the claim.

    ``fixed``: it hangs on the rig alone, so it is a fault of the rig's file and not of what anybody does.
    """

    wrong: Predicate
    part: str
    fixed: bool


GroundShape = Never | Becomes | BeforeDoing | AtTheEnd | Order | NeverLonger | Within | Counted | Matched


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundRule:
    """One rule with its variables bound to parts.

    ``bindings`` are (variable, part id) in the rule's order; ``when`` and the predicates of ``shape`` are ground.
    ``verbs`` are the only verbs that can set it off or that it remembers, None where any may: a search may skip others.
    """

    rule: Rule
    bindings: tuple[tuple[str, str], ...]
    when: Predicate
    shape: GroundShape
    verbs: frozenset[str] | None

    def facts(self) -> frozenset[tuple[str, tuple[str, ...]]]:
        """All that it may ask, as (fact, arguments)."""
        leaves = (leaf for predicate in (self.when, *_predicates(self.shape)) for leaf in _leaves(predicate))
        return frozenset((leaf.name, words_of(leaf)) for leaf in leaves)

    def message(self, rig: Rig) -> str:
        """The rule's message with the labels of the bound parts; its title where it has no message."""
        return filled_in(self.rule.message or self.rule.title, rig, dict(self.bindings))

    def mend(self, rig: Rig) -> str:
        """The rule's mend with the labels of the bound parts."""
        return filled_in(self.rule.mend, rig, dict(self.bindings))


@dataclass(frozen=True, slots=True, kw_only=True)
class Unfit:
    """A binding of a rule that asks for what the rig does not say; it is not decided there, never silently held."""

    rule: Rule
    bindings: tuple[tuple[str, str], ...]
    reasons: tuple[str, ...]

    def finding(self, rig: Rig) -> Finding:
        """What the author of the rig has to answer for."""
        return Finding(
            rule=UNFIT_RULE,
            code=UNFIT_CODE,
            severity=Severity.SERIOUS,
            message=f"The rule “{self.rule.name}” can't be decided on the rig {rig.id}: {'; '.join(self.reasons)}.",
            mend="Complete the rig, or correct the rule.",
            span=rig.span,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Instances:
    """A rule on a rig. Both empty: the rig has none of the parts that the rule is about, so it is not applicable."""

    ground: tuple[GroundRule, ...]
    unfit: tuple[Unfit, ...]


def ground(predicate: Predicate, rig: Rig, bindings: Bindings | None = None) -> Predicate:
    """Bind ``predicate`` to ``rig``: facts, not, all and any are left. Never raises."""
    bound = bindings or {}
    match predicate:
        case Fact():
            return _ground_fact(predicate, rig, bound)
        case Not(body=body):
            return Not(ground(body, rig, bound))
        case AllOf(bodies=bodies):
            return _all_of(tuple(ground(body, rig, bound) for body in bodies))
        case AnyOf(bodies=bodies):
            return _any_of(tuple(ground(body, rig, bound) for body in bodies))
        case Quantified(every=every, variable=variable, over=over, body=body):
            cases = tuple(ground(body, rig, {**bound, variable: part.id}) for part in select(rig, over))
            return _all_of(cases) if every else _any_of(cases)


def reasons(predicate: Predicate) -> tuple[str, ...]:
    """Why a ground predicate can't be decided on its rig; empty if it can."""
    found = (leaf.args[0].name for leaf in _leaves(predicate) if leaf.name == CANNOT_BE_ASKED)
    return tuple(dict.fromkeys(found))


def select(rig: Rig, selector: Selector) -> tuple[Part, ...]:
    """The rig's parts of this kind that carry all of the traits and none of ``without``, in the rig's order."""
    return tuple(
        part
        for part in rig.parts
        if selector.kind in (None, part.kind)
        and set(selector.traits) <= set(part.traits)
        and not set(selector.without) & set(part.traits)
    )


def instantiate(rule: Rule, rig: Rig) -> Instances:
    """Bind the rule's variables to the rig's parts in every way; a rule without variables has one instance."""
    fit: list[GroundRule] = []
    unfit: list[Unfit] = []
    for bindings in _bindings(rule, rig):
        bound = dict(bindings)
        when = ground(rule.when, rig, bound)
        for shape in _shapes(rule.shape, rig, bound):
            missing = [why for predicate in (when, *_predicates(shape)) for why in reasons(predicate)]
            missing += [_why(ref, rig, bound) for ref in _parts(shape) if ref.attr or rig.part(ref.name) is None]
            if missing:
                unfit.append(Unfit(rule=rule, bindings=bindings, reasons=tuple(dict.fromkeys(missing))))
            else:
                fit.append(GroundRule(rule=rule, bindings=bindings, when=when, shape=shape, verbs=_verbs(shape)))
    return Instances(ground=tuple(fit), unfit=tuple(unfit))


def _ground_fact(predicate: Fact, rig: Rig, bindings: Bindings) -> Predicate:
    entry = fact(predicate.name)
    if entry is None:
        return _cannot_be_asked(f"there is no fact called {predicate.name}")
    if len(predicate.args) != len(entry.args):
        return _cannot_be_asked(f"the fact {predicate.name} takes {len(entry.args)} arguments, not {len(predicate.args)}")
    choices: list[tuple[str, ...]] = []
    for ref, spec in zip(predicate.args, entry.args, strict=True):
        found = (ref.name,) if ref.attr is None and ref.name in spec.choices else refs_to(ref, rig, bindings)
        if not found:
            return _cannot_be_asked(_why(ref, rig, bindings))
        choices.append(found)
    spread = (Fact(predicate.name, tuple(map(Ref, args)), predicate.span) for args in product(*choices))
    return _all_of(tuple(spread))


def _cannot_be_asked(why: str) -> Fact:
    return Fact(CANNOT_BE_ASKED, (Ref(why),))


def _why(ref: Ref, rig: Rig, bindings: Bindings) -> str:
    part = rig.part(bindings.get(ref.name, ref.name))
    return f"the rig has no part {ref.name}" if part is None else f"{part.label} ({part.id}) has no “{ref.attr}”"


def _all_of(bodies: tuple[Predicate, ...]) -> Predicate:
    return bodies[0] if len(bodies) == 1 else AllOf(bodies)


def _any_of(bodies: tuple[Predicate, ...]) -> Predicate:
    return bodies[0] if len(bodies) == 1 else AnyOf(bodies)


def _leaves(predicate: Predicate) -> Iterator[Fact]:
    match predicate:
        case Fact():
            yield predicate
        case Not(body=body) | Quantified(body=body):
            yield from _leaves(body)
        case AllOf(bodies=bodies) | AnyOf(bodies=bodies):
            for body in bodies:
                yield from _leaves(body)


def _bindings(rule: Rule, rig: Rig) -> Iterator[tuple[tuple[str, str], ...]]:
    names = [name for name, _ in rule.for_every]
    for parts in product(*(select(rig, selector) for _, selector in rule.for_every)):
        yield tuple(zip(names, (part.id for part in parts), strict=True))


def _shapes(shape: Shape, rig: Rig, bound: Bindings) -> Iterator[GroundShape]:
    """The shape with its predicates ground, once per part that its reference leads to."""
    match shape:
        case Never(state=state):
            yield Never(state=ground(state, rig, bound))
        case Becomes(event=event, unless=unless):
            yield Becomes(event=ground(event, rig, bound), unless=ground(unless, rig, bound))
        case AtTheEnd(require=require):
            yield replace(shape, require=ground(require, rig, bound))
        case BeforeDoing(part=part, require=require):
            needed = ground(require, rig, bound)
            for one in _targets(part, rig, bound):
                yield replace(shape, part=one, require=needed)
        case Order(first=(first, one), then=(then, two)):
            for before, after in product(_targets(one, rig, bound), _targets(two, rig, bound)):
                yield Order(first=(first, before), then=(then, after))
        case NeverLonger(state=state):
            yield replace(shape, state=ground(state, rig, bound))
        case Within(of=of, comes=comes):
            yield replace(shape, of=ground(of, rig, bound), comes=ground(comes, rig, bound))
        case Enough():
            yield _counted(shape, rig, bound)
        case Match():
            yield from _matched(shape, rig, bound)


def _counted(shape: Enough, rig: Rig, bound: Bindings) -> Counted:
    cases = [ground(shape.that, rig, {**bound, shape.variable: part.id}) for part in select(rig, shape.over)]
    owner = rig.part(bound.get(shape.stock.name, shape.stock.name))
    figure = None if owner is None else owner.figure(shape.stock.attr or "")
    if figure is None or dimension_of(figure.unit) != "count":
        return Counted(cases=(*cases, _cannot_be_asked(_why(shape.stock, rig, bound))), most=0)
    return Counted(cases=tuple(cases), most=int(to(figure, "times")))


def _matched(shape: Match, rig: Rig, bound: Bindings) -> Iterator[Matched]:
    """Once per part that ``of`` leads to and that states the word: without the word it claims nothing."""
    for name in refs_to(shape.of, rig, bound):
        part = rig.part(name)
        claim = name if shape.word is None else None if part is None else part.word(shape.word)
        if claim is None:
            continue
        if shape.with_.attr == "joined":
            end = rig.part(bound.get(shape.with_.name, shape.with_.name))
            others = [other for other in rig.parts if end is not None and other.kind == "end" and other != end]
            wrong = [_joined_wrongly(shape, claim, end, other) for other in others if end is not None]
            yield Matched(wrong=_any_of(tuple(one for one in wrong if one is not None)), part=name, fixed=False)
            continue
        found = refs_to(shape.with_, rig, bound)
        cases = tuple(_differs(shape, claim, rig.part(other)) for other in found)
        wrong_ones = cases or (_cannot_be_asked(_why(shape.with_, rig, bound)),)
        yield Matched(wrong=_any_of(wrong_ones), part=name, fixed=True)


def _joined_wrongly(shape: Match, claim: str, end: Part, other: Part) -> Predicate | None:
    """That the two ends are joined, if they do not go together; None if they do, or if they can't be joined at all."""
    if end.word("fits") != other.word("fits"):
        return None
    differs = _differs(shape, claim, other)
    return Fact("joined-to", (Ref(end.id), Ref(other.id))) if differs == ALWAYS else None if differs == _NEVER else differs


def _differs(shape: Match, claim: str, other: Part | None) -> Predicate:
    word = None if other is None else other.id if shape.word is None else other.word(shape.word)
    if word is None:
        label = "a part" if other is None else f"{other.label} ({other.id})"
        return _cannot_be_asked(f"{label} does not state its “{shape.word}”")
    return ALWAYS if (word == claim) is not shape.same else _NEVER


def _targets(ref: Ref | None, rig: Rig, bound: Bindings) -> tuple[Ref | None, ...]:
    """What a reference leads to; itself where it leads nowhere, so that ``instantiate`` can name it."""
    return (None,) if ref is None else tuple(map(Ref, refs_to(ref, rig, bound))) or (ref,)


def _predicates(shape: GroundShape) -> tuple[Predicate, ...]:
    match shape:
        case Never(state=state):
            return (state,)
        case Becomes(event=event, unless=unless):
            return (event, unless)
        case BeforeDoing(require=require) | AtTheEnd(require=require):
            return (require,)
        case Order():
            return ()
        case NeverLonger(state=state):
            return (state,)
        case Within(of=of, comes=comes):
            return (of, comes)
        case Counted(cases=cases):
            return cases
        case Matched(wrong=wrong):
            return (wrong,)


def _parts(shape: GroundShape) -> tuple[Ref, ...]:
    match shape:
        case BeforeDoing(part=part):
            found = (part,)
        case Order(first=(_, one), then=(_, two)):
            return tuple(ref for ref in (one, two) if ref is not None)
        case _:
            return ()
    return tuple(ref for ref in found if ref is not None)


def _verbs(shape: GroundShape) -> frozenset[str] | None:
    match shape:
        case BeforeDoing(verb=verb):
            return frozenset({verb})
        case Order(first=(first, _), then=(then, _)):
            return frozenset({first, then})
        case _:
            return None
