"""A second, slow reading of the composition table: bodies are rewritten step by step, nothing is pruned.

It shares no code with the search. A term is a nested tuple; what is settled has vanished from it.

    ("do", step tag, index, actions)  ("look", tag, step)  ("bar", hold)  ("end", card)
    ("ask", name, (guard, term)...)   ("loop", repeat, last, rest)
    ("seq", terms)  ("par", terms)  ("meet", name, key of its lanes)
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from stepwell.model.procedure import AnyOrder, Body, Choose, Condition, Hold, Item, Lanes, Meet, Repeat, Stage, Step
from stepwell.model.tri import Tri

from .toy import Toy, ToyWorld

Term = Any
Rounds = tuple[tuple[str, int], ...]
DONE: Term = ("seq", ())


def term_of(body: Body, rounds: Rounds = ()) -> Term:
    return ("seq", tuple(item_term(item, rounds) for item in body))


def item_term(item: Item, rounds: Rounds) -> Term:
    match item:
        case Step():
            return step_term(item, rounds)
        case Stage(body=body):
            return term_of(body, rounds)
        case AnyOrder(body=body):
            return ("par", tuple(item_term(inner, rounds) for inner in body))
        case Lanes(lanes=lanes):
            key = (id(item), rounds)
            return ("par", tuple(meeting_of(term_of(lane.body, rounds), key) for lane in lanes))
        case Choose():
            options = []
            for outcome in item.outcomes:
                last = (("end", outcome.card),) if outcome.end or outcome.card is not None else ()
                options.append((outcome.when, ("seq", (*term_of(outcome.body, rounds)[1], *last))))
            return ("ask", item.id, tuple(options))
        case Repeat():
            rest = DONE
            for number in range(item.at_most, 0, -1):
                loop = ("loop", item, number == item.at_most, rest)
                rest = ("seq", (term_of(item.body, (*rounds, (item.id, number))), loop))
            return rest
        case Hold():
            return ("bar", item)
        case Meet(name=name):
            return ("meet", name, None)


def meeting_of(term: Term, key: Any) -> Term:
    """The term of a lane with its own meetings marked as those of its lanes."""
    if term[0] == "meet" and term[2] is None:
        return ("meet", term[1], key)
    return (term[0], tuple(meeting_of(inner, key) for inner in term[1])) if term[0] == "seq" else term


def meetings(term: Term) -> Iterator[Term]:
    """Every meeting that has not taken place, as often as a lane has yet to come to it."""
    if term[0] == "meet":
        yield term
    elif term[0] in ("seq", "par"):
        for inner in term[1]:
            yield from meetings(inner)


def waiting(term: Term) -> Iterator[Term]:
    """The meetings that lanes have come to."""
    match term[0]:
        case "meet":
            yield term
        case "seq":
            yield from waiting(term[1][0]) if term[1] else ()
        case "par":
            for inner in term[1]:
                yield from waiting(inner)


def gone_on(term: Term) -> Term:
    """The term after every meeting to which all have come: nobody waits there any more."""
    term = clean(term)
    there = list(waiting(term))
    everywhere = list(meetings(term))
    met = [one for one in there if there.count(one) == everywhere.count(one)]
    return gone_on(without(term, met[0])) if met else term


def without(term: Term, meeting: Term) -> Term:
    if term == meeting:
        return DONE
    return (term[0], tuple(without(inner, meeting) for inner in term[1])) if term[0] in ("seq", "par") else term


def step_term(step: Step, rounds: Rounds) -> Term:
    tag = (step.id, rounds, step.after)
    doings = (step.do,) if step.at_once and step.do else tuple((action,) for action in step.do)
    atoms = [("do", tag, index, actions) for index, actions in enumerate(doings)]
    if step.expect or not step.do:
        atoms.append(("look", tag, step))  # type: ignore[arg-type]
    if step.optional:
        return ("optional", tag, ("seq", tuple(atoms)))
    return ("seq", tuple(atoms))


def tags(term: Term) -> Iterator[Any]:
    """The tags of all steps of which something is not settled yet."""
    match term[0]:
        case "seq" | "par":
            for inner in term[1]:
                yield from tags(inner)
        case "do" | "look":
            yield term[1]
        case "optional":
            yield term[1]
        case "ask":
            for _, inner in term[2]:
                yield from tags(inner)
        case "loop":
            yield from tags(term[3])


def may_start(tag: Any, open_tags: frozenset[Any]) -> bool:
    _, rounds, after = tag
    for name, other_rounds, _ in open_tags:
        others = dict(other_rounds)
        if name in after and all(others.get(repeat, number) == number for repeat, number in rounds):
            return False
    return True


def heads(term: Term, open_tags: frozenset[Any]) -> Iterator[tuple[Term, Any]]:
    """Every atom that may be taken, with a function from what it becomes to the whole term."""
    match term[0]:
        case "seq":
            for index, inner in enumerate(term[1]):
                for atom, around in heads(inner, open_tags):
                    rest = term[1][index + 1 :]
                    yield atom, lambda new, around=around, rest=rest: join("seq", (around(new), *rest))
                if inner != DONE:
                    return
        case "par":
            for index, inner in enumerate(term[1]):
                for atom, around in heads(inner, open_tags):
                    before, rest = term[1][:index], term[1][index + 1 :]
                    yield (
                        atom,
                        lambda new, around=around, before=before, rest=rest: join("par", (*before, around(new), *rest)),
                    )
        case "meet":
            return
        case "do" | "look" | "optional":
            if may_start(term[1], open_tags):
                yield term, lambda new: new
        case _:
            yield term, lambda new: new


def join(kind: str, terms: tuple[Term, ...]) -> Term:
    left = tuple(term for term in (clean(term) for term in terms) if term != DONE)
    return (kind, left) if left else DONE


def clean(term: Term) -> Term:
    """Without what is empty."""
    return join(term[0], term[1]) if term[0] in ("seq", "par") else term


@dataclass
class Facts:
    """Name to shortest length."""

    violated: dict[str, int] = field(default_factory=dict)
    refused: dict[tuple[str, int], int] = field(default_factory=dict)
    blocked: dict[str, int] = field(default_factory=dict)
    aborted: dict[str, int] = field(default_factory=dict)
    ended: dict[tuple[str | None, Toy], int] = field(default_factory=dict)
    stuck: int | None = None
    must_abort: int | None = None


def note(table: dict[Any, int], key: Any, length: int) -> None:
    table[key] = min(length, table.get(key, length))


def explore(body: Body, world: ToyWorld) -> Facts:
    """Every run, by Dijkstra's algorithm without any cunning: relax until nothing changes."""
    facts = Facts()
    lengths: dict[Any, int] = {(gone_on(term_of(body)), state): 0 for state in world.starts()}
    after: dict[Any, set[Any]] = {}
    ends: set[Any] = set()
    aborts: set[Any] = set()
    rest = list(lengths)
    while rest:
        place = rest.pop()
        after[place] = set()
        for cost, then in expand(place, lengths[place], world, facts, ends, aborts):
            after[place].add(then)
            if lengths[place] + cost < lengths.get(then, 10**9):
                lengths[then] = lengths[place] + cost
                rest.append(then)
    can_end, can_abort = closure(after, ends), closure(after, aborts)
    facts.stuck = min((lengths[p] for p in lengths if p not in can_end and p not in can_abort), default=None)
    facts.must_abort = min((lengths[p] for p in lengths if p not in can_end and p in can_abort), default=None)
    return facts


def closure(after: dict[Any, set[Any]], goals: set[Any]) -> set[Any]:
    found = set(goals)
    grown = True
    while grown:
        more = {place for place, then in after.items() if place not in found and then & found}
        found |= more
        grown = bool(more)
    return found


def expand(place: Any, length: int, world: ToyWorld, facts: Facts, ends: set[Any], aborts: set[Any]) -> list[Any]:
    term, state = place
    taken = list(heads(term, frozenset(tags(term))))
    ending = [atom for atom, _ in taken if atom[0] == "end"]
    if term == DONE or ending:
        card = ending[0][1] if ending else None
        note(facts.ended, (card, state), length)
        ends.add(place)
        for rule in world.finish(state):
            note(facts.violated, rule, length)
        return []
    found: list[Any] = []
    failing: list[tuple[str, bool, bool, int]] = []
    for number, (atom, around) in enumerate(taken):
        ways, failure = react(atom, state, length, world, facts)
        found.extend((number, cost, (gone_on(around(new)), then)) for cost, new, then in ways)
        if failure is not None:
            failing.append((*failure, number))
    moving = {number for number, _, _ in found} | {n for n, (atom, _) in enumerate(taken) if atom[0] == "do"}
    for name, patient, abort, number in failing:
        if not patient or not moving - {number}:
            note(facts.aborted if abort else facts.blocked, name, length)
            if abort:
                aborts.add(place)
    return [(cost, then) for _, cost, then in found]


def react(atom: Term, state: Toy, length: int, world: ToyWorld, facts: Facts) -> tuple[list[Any], Any]:
    """((cost, new term, state)...), and (name, patient, abort) if it may fail."""
    match atom[0]:
        case "do":
            after, refused, broke = world.act_at(atom[1][0], atom[2], state, atom[3])
            for rule in broke:
                note(facts.violated, rule, length + 1)
            if after is None:
                assert refused
                note(facts.refused, (atom[1][0], atom[2]), length)
                return [], None
            return [(1, DONE, after)], None
        case "look":
            step = atom[2]
            passed, failed = see(step.expect, state, world)
            told = step.if_not is not None
            return [(0, DONE, each) for each in passed], (step.id, not told, told) if failed else None
        case "bar":
            passed, failed = see(atom[1].until, state, world)
            return [(0, DONE, each) for each in passed], (atom[1].id, True, bool(atom[1].abort)) if failed else None
        case "optional":
            return [(0, atom[2], state), (0, DONE, state)], None
        case "ask":
            ways = []
            for guard, inner in atom[2]:
                truth, so = world.observe(state, guard) if guard is not None else (Tri.YES, state)
                if truth is not Tri.NO:
                    ways.append((0, inner, so))
            return ways, None if ways else (atom[1], True, False)
        case "loop":
            truth, so = world.observe(state, atom[1].until)
            ways = [] if truth is Tri.NO else [(0, DONE, so)]
            if truth is not Tri.YES and not atom[2]:
                ways.append((0, atom[3], state))
            return ways, (atom[1].id, True, False) if atom[2] and truth is not Tri.YES else None
    raise AssertionError(atom)


def see(expects: Any, state: Toy, world: ToyWorld) -> tuple[list[Toy], bool]:
    failed = False
    for expect in expects:
        if isinstance(expect, Condition):
            truth, so = world.observe(state, expect.predicate)
            failed = failed or truth is not Tri.YES
            if truth is Tri.NO:
                return [], True
            state = so
    return [state], failed


def orders_of(body: Body) -> int:
    """The number of orders as defined by stepwell.orders.count, one at a time."""
    return _orders(gone_on(term_of(body)), {})


def _orders(term: Term, known: dict[Term, int]) -> int:
    if term in known:
        return known[term]
    taken = list(heads(term, frozenset(tags(term))))
    total = None
    if term == DONE or any(atom == ("end", atom[1]) for atom, _ in taken if atom[0] == "end"):
        total = 1
    for atom, around in taken if total is None else ():
        if atom[0] in ("look", "bar") or (atom[0] == "loop" and atom[2]):
            total = _orders(gone_on(around(DONE)), known)
            break
    for atom, around in taken if total is None else ():
        if atom[0] in ("ask", "optional", "loop"):
            total = sum(_orders(gone_on(around(new)), known) for new in answers(atom))
            break
    if total is None:
        total = sum(1 if atom[0] == "may end" else _orders(gone_on(around(DONE)), known) for atom, around in taken)
    known[term] = total
    return total


def answers(atom: Term) -> list[Term]:
    match atom[0]:
        case "optional":
            return [atom[2], DONE]
        case "loop":
            return [DONE, atom[3]]
    return [("may end",) if len(inner[1]) == 1 and inner[1][0][0] == "end" else clean(inner) for _, inner in atom[2]]
