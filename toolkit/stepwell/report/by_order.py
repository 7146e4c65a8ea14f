"""Rules that can't be broken because of what must come before what: shown without searching the orders.

Used where a search was cut short. A rule's unsafe case is a conjunction of facts; those that hang on a few variables that
only verbs write are kept, the others (flow, contents, pressure) are taken to be as bad as can be. If even so no order
leads there, none does. What that rests on is held against everything that was searched: see ``bears_out``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import product

from stepwell.circuit.layout import Layout, State
from stepwell.circuit.plain_facts import Row, plain
from stepwell.circuit.written import FOLLOWS, Write, contradicted, turned
from stepwell.model.predicate import AllOf, AnyOf, Fact, Not, Predicate, Ref
from stepwell.model.procedure import Action
from stepwell.model.rule import AtTheEnd, Becomes, BeforeDoing, Never, Order
from stepwell.model.tri import Tri
from stepwell.orders.causal import Case, Plan, Want, When, causes
from stepwell.orders.program import Bar, Do, End, Look, Program
from stepwell.rules.evaluate import words_of
from stepwell.rules.ground import GroundRule, Matched

MOST_CASES = 64
"""So many conjunctions of one unsafe case are looked at."""

NOT_NO = frozenset({Tri.MAYBE, Tri.YES})
NOT_YES = frozenset({Tri.NO, Tri.MAYBE})
ONLY_NO = frozenset({Tri.NO})

Atom = tuple[str, tuple[str, ...], frozenset[Tri]]
"""A fact, its arguments, and how true it has to be."""
Conjunction = frozenset[Atom]


class _TooManyError(Exception):
    """More conjunctions than are looked at."""


@dataclass(frozen=True, slots=True)
class _Table:
    """A plain fact, narrowed to the rows with the wanted truths. ``variables``: all that its rows name."""

    rows: tuple[Row, ...]
    variables: frozenset[int]

    def may_be(self, written: dict[int, Write]) -> bool:
        """True if it may be so after these writes, whatever was before."""
        return any(
            all(
                variable not in written or not written[variable].surely or value in written[variable].values
                for variable, value in row.values
            )
            for row in self.rows
        )

    def is_so(self, state: State) -> bool:
        """True if it is so in the state."""
        return any(all(state[variable] == value for variable, value in row.values) for row in self.rows)


class ByOrder:
    """One procedure's program on one rig, from some starts. ``grounded`` binds a predicate of the program to the rig."""

    def __init__(
        self, program: Program, layout: Layout, starts: tuple[State, ...], grounded: Callable[[Predicate], Predicate]
    ) -> None:
        self.program, self.layout, self.starts, self.grounded = program, layout, starts, grounded
        self.written: list[dict[int, Write]] = [
            turned(layout, node.actions) if isinstance(node, Do) else {} for node in program.nodes
        ]
        self.values = self._values()
        self.tables: dict[Atom, _Table | None] = {}
        self.wants: dict[Atom, Want] = {}
        self.plan = Plan(program, tuple(self._waits()))

    def _values(self) -> dict[int, frozenset[int]]:
        """What each variable that only verbs write can ever be: as at a start, or as some action leaves it."""
        found = {
            number: {start[number] for start in self.starts}
            for number, variable in enumerate(self.layout.variables)
            if variable.name not in FOLLOWS
        }
        for written in self.written:
            for number, write in written.items():
                if number in found:
                    found[number] |= write.values
        return {number: frozenset(values) for number, values in found.items()}

    def _waits(self) -> Iterator[tuple[int, Want]]:
        """What the program waits for at a look or a hold: it is not passed where that is surely not so."""
        for index, node in enumerate(self.program.nodes):
            if isinstance(node, Bar) or (isinstance(node, Look) and node.jump is None):
                for condition in node.conditions:
                    passed = _alternatives(self.grounded(condition), NOT_NO)
                    if len(passed) == 1:
                        yield from ((index, want) for want in self._wants(passed[0]))

    def shown(self, rules: Iterable[GroundRule]) -> frozenset[str]:
        """Names of the rules of which every instance can't be broken in any order."""
        open_: set[str] = set()
        named: set[str] = set()
        for instance in rules:
            named.add(instance.rule.name)
            if instance.rule.name not in open_ and not self.holds(instance):
                open_.add(instance.rule.name)
        return frozenset(named - open_)

    def holds(self, instance: GroundRule) -> bool:
        """True if it is shown that no order breaks the instance."""
        try:
            cases = tuple(self._cases(instance))
        except _TooManyError:
            return False
        answer = causes(self.plan, cases, starts=len(self.starts))
        return answer.decided and answer.sketch is None

    def bears_out(self, done: Iterable[tuple[State, tuple[Action, ...], State]]) -> bool:
        """True if all these actions, each with the state before and after, did what was known of them beforehand."""
        return not any(contradicted(self.layout, before, actions, after) for before, actions, after in done)

    def want(self, atom: Atom) -> Want | None:
        """The atom as something wanted; None if its fact is not plain."""
        table = self.table(atom)
        if table is None:
            return None
        found = self.wants.get(atom)
        if found is None:
            sets = clears = 0
            for index, written in enumerate(self.written):
                if table.variables & written.keys():
                    may = table.may_be(written)
                    sets |= may << index
                    clears |= (not may) << index
            found = self.wants[atom] = Want(tuple(table.is_so(start) for start in self.starts), sets, clears)
        return found

    def table(self, atom: Atom) -> _Table | None:
        """The rows of the atom's fact that are as wanted; None if the fact is not plain."""
        if atom not in self.tables:
            name, args, truths = atom
            rows = plain(self.layout, name, args, self.values)
            self.tables[atom] = (
                None
                if rows is None
                else _Table(
                    tuple(row for row in rows if row.truth in truths),
                    frozenset(variable for row in rows for variable, _ in row.values),
                )
            )
        return self.tables[atom]

    def _cases(self, instance: GroundRule) -> Iterator[Case]:
        """Every way in which the instance can be broken; one without wants where nothing can be said."""
        when, shape = instance.when, instance.shape
        context = _alternatives(when, NOT_NO)
        match shape:
            case Never(state=state):
                yield from self._after(_both(context, _alternatives(state, NOT_NO)))
            case Matched(wrong=wrong):
                bad = _both(context, _alternatives(wrong, NOT_NO))
                yield from self._after(bad)
                yield from self._ending(bad)
            case BeforeDoing(verb=verb, part=part, require=require):
                bad = _both(context, _alternatives(require, NOT_YES))
                for index in self._doing(verb, part):
                    yield from self._begun(bad, index)
            case AtTheEnd(require=require, hand_over=hand_over):
                bad = _both(context, _alternatives(require, NOT_YES))
                yield from self._ending(bad)
                for index in self._writing("wrap") if hand_over else ():
                    yield from self._done(bad, index)
                attached = _both(bad, (frozenset({("patient-attached", (), NOT_NO)}),))
                for index in self._writing("mate") if hand_over else ():
                    yield from self._done(attached, index)
            case Becomes(event=event, unless=unless):
                yield from self._becoming(context, event, _alternatives(unless, NOT_YES))
            case Order(first=first, then=then):
                done = sum(1 << index for index in self._doing(*first))
                not_yet = Want((True,) * len(self.starts), 0, done)
                for index in self._doing(*then):
                    if not done >> index & 1:
                        for each in context:
                            wants = (not_yet, *self._wants(each))
                            yield Case(when=When.BEFORE, wants=wants, node=index)
            case _:
                yield Case(when=When.AFTER, wants=())

    def _wants(self, atoms: Conjunction) -> tuple[Want, ...]:
        """Those that are plain; the others are taken to be so."""
        return tuple(want for want in map(self.want, sorted(atoms, key=str)) if want is not None)

    def _after(self, bad: tuple[Conjunction, ...]) -> Iterator[Case]:
        for each in bad:
            yield Case(when=When.AFTER, wants=self._wants(each))

    def _begun(self, bad: tuple[Conjunction, ...], index: int) -> Iterator[Case]:
        for each in bad:
            yield Case(when=When.BEFORE, wants=self._wants(each), node=index)

    def _ending(self, bad: tuple[Conjunction, ...]) -> Iterator[Case]:
        for each in bad:
            yield Case(when=When.END, wants=self._wants(each))
        for index, node in enumerate(self.program.nodes):
            if isinstance(node, End):
                yield from self._begun(bad, index)

    def _done(self, bad: tuple[Conjunction, ...], index: int) -> Iterator[Case]:
        """Right after an action: what it does not touch was so before it."""
        for each in bad:
            left = self._untouched(each, index)
            if left is not None:
                yield Case(when=When.BEFORE, wants=self._wants(left), node=index)

    def _untouched(self, atoms: Conjunction, index: int) -> Conjunction | None:
        """Those that must have been so before the action to be so after it; None if it surely undoes one of them."""
        left: set[Atom] = set()
        for atom in atoms:
            table = self.table(atom)
            if table is None or not table.variables & self.written[index].keys():
                left.add(atom)
            elif not table.may_be(self.written[index]):
                return None
        return frozenset(left)

    def _becoming(
        self, context: tuple[Conjunction, ...], event: Predicate, forbidden: tuple[Conjunction, ...]
    ) -> Iterator[Case]:
        """The event comes with an action: it may be so after it and was surely not so before, nor was it permitted then."""
        after = _both(context, _alternatives(event, NOT_NO))
        before = _both(_alternatives(event, ONLY_NO), forbidden)
        for index, node in enumerate(self.program.nodes):
            if isinstance(node, Do):
                for late in after:
                    left = self._untouched(late, index)
                    if left is not None:
                        yield from self._begun(_both((left,), before), index)

    def _doing(self, verb: str, part: Ref | None) -> tuple[int, ...]:
        return tuple(
            index
            for index, node in enumerate(self.program.nodes)
            if isinstance(node, Do)
            and any(one.verb == verb and (part is None or part.name in one.parts) for one in node.actions)
        )

    def _writing(self, name: str) -> tuple[int, ...]:
        """The actions that write a variable of this name: those that take a pack onto the field, or join an end."""
        return tuple(
            index
            for index, written in enumerate(self.written)
            if any(self.layout.variables[number].name == name for number in written)
        )


def _alternatives(predicate: Predicate, truths: frozenset[Tri]) -> tuple[Conjunction, ...]:
    """Conjunctions of atoms, one of which is so wherever the ground predicate is as true as wanted.

    ``truths``: NOT_NO, NOT_YES or ONLY_NO. Raises _TooManyError.
    """
    match predicate:
        case Fact(name=name):
            return (frozenset({(name, words_of(predicate), truths)}),)
        case Not(body=body):
            return _alternatives(body, frozenset(Tri(2 - truth) for truth in truths))
        case AllOf(bodies=bodies) | AnyOf(bodies=bodies):
            every = isinstance(predicate, AllOf) is (Tri.YES in truths)
            each = [_alternatives(body, truths) for body in bodies]
            if every:
                return _product(each)
            found = tuple(dict.fromkeys(one for alternatives in each for one in alternatives))
            return _few(found)
    raise TypeError(predicate)


def _product(each: list[tuple[Conjunction, ...]]) -> tuple[Conjunction, ...]:
    found: tuple[Conjunction, ...] = (frozenset(),)
    for alternatives in each:
        found = _few(tuple(dict.fromkeys(one | other for one, other in product(found, alternatives))))
    return found


def _both(one: tuple[Conjunction, ...], other: tuple[Conjunction, ...]) -> tuple[Conjunction, ...]:
    return _product([one, other])


def _few(found: tuple[Conjunction, ...]) -> tuple[Conjunction, ...]:
    if len(found) > MOST_CASES:
        raise _TooManyError
    return found
