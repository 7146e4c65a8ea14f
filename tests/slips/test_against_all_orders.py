"""The classification of slips against every order of the changed body, one by one.

The orders are those of networkx (``all_topological_sorts``). Each is replayed by itself and ends where an action is
refused; where a look fails the order ends too, and every look stands right where its turn comes in that order.
"""

from __future__ import annotations

import random
import time

import networkx as nx
import pytest

from stepwell.diagnostics.severity import Severity
from stepwell.model.predicate import AllOf, Fact, Predicate, Ref
from stepwell.model.procedure import Body, Condition, Lane, Lanes, Otherwise, PartName, Stage, Step, Text
from stepwell.model.tri import Tri
from stepwell.orders.compile import compile_body
from stepwell.orders.program import Do, Look, Program, bits
from stepwell.orders.search import Bounds
from stepwell.report.bites import blind
from stepwell.report.world import CircuitWorld, Here
from stepwell.slips.confirm import confirmed
from stepwell.slips.find import Finder
from stepwell.slips.results import Outcome, Slip
from stepwell.slips.variants import Variant, variants
from tests.demo import rig, workspace
from tests.report.test_against_all_orders import CHOICES, LAYOUT, RULES, START

SEVERITY = {rule.name: rule.severity for rule in workspace().rules}
FATAL = frozenset(rule for rule, severity in SEVERITY.items() if severity is Severity.FATAL)
LOOKS: tuple[Predicate, ...] = tuple(
    Fact(name, (Ref(part),))
    for name, part in (
        ("open", "oxy-vent"),
        ("shut", "prime-clamp"),
        ("open", "prime-clamp"),
        ("shut", "return-clamp"),
        ("filled", "oxygenator"),
        ("air-free", "pump-head"),
        ("dry", "oxygenator"),
        ("stopped", "pump"),
        ("zeroed", "drain-pressure"),
    )
)
MOST = 14
"""So many variants of each random procedure are compared; the rest of them are of the same sorts."""


def random_body(rng: random.Random) -> Body:
    """Two lanes, then two steps; about half of the steps look at something, and then call for help or wait. Some are
    confirmed by a second role, and some procedures end in a look in words that somebody confirms."""

    def step(name: str) -> Step:
        looks = rng.random() < 0.5
        expect = (Condition(predicate=AllOf((rng.choice(LOOKS),))),) if looks else ()
        help_ = Otherwise(words=(Text("Call."),)) if looks and rng.random() < 0.7 else None
        do, confirm = (rng.choice(CHOICES),), "assistant" if rng.random() < 0.4 else None
        return Step(id=name, who="primer", say=(), do=do, expect=expect, if_not=help_, confirm=confirm)

    one = Lane(who="primer", body=(step("a1aa"), step("a2aa")))
    two = Lane(who="assistant", body=(step("b1aa"),))
    after = Stage(title="", body=(step("c1aa"), step("c2aa")))
    named = rng.choice([part for choice in CHOICES for part in choice.parts])
    last = Step(id="d1aa", who="checker", say=(PartName(named),), confirm="assistant")
    return (Lanes(title="", lanes=(one, two)), after, *((last,) if rng.random() < 0.5 else ()))


class Brute:
    """What all orders of one body lead to: rule -> the step of the last action in some shortest order, and stops.

    An order ends, too, at the first violation of one of the rules ``upto``.
    """

    def __init__(self, body: Body, world: CircuitWorld, upto: frozenset[str] = frozenset()) -> None:
        self.world, self.upto = world, upto
        self.program: Program = compile_body(body)
        self.broken: dict[str, int] = {}
        self.places: dict[tuple[str, int], set[str | None]] = {}
        self.stops: dict[tuple[str, bool], int] = {}
        graph = nx.DiGraph()
        graph.add_nodes_from(range(len(self.program.nodes)))
        for node, needs in enumerate(self.program.needs):
            graph.add_edges_from((before, node) for before in bits(needs))
        for order in nx.all_topological_sorts(graph):
            self.replay(order, world.starts()[0])

    def replay(self, order: list[int], state: Here) -> None:
        length = 0
        for at, index in enumerate(order):
            node = self.program.nodes[index]
            name = node.name.split("~")[0]
            if isinstance(node, Do):
                acted = self.world.act(state, node)
                length += 1
                for rule in acted.broke:
                    self.breaks(rule, length, name)
                if not self.upto.isdisjoint(acted.broke):
                    return
                if acted.state is None:
                    self.stop(name, False, length)
                    return
                state = acted.state
            elif isinstance(node, Look):
                for condition in node.conditions:
                    truth, state_if_so = self.world.observe(state, condition)
                    # Without if-not the person waits: that fails only where nobody else has anything left to do.
                    ready = {i for i in order[at + 1 :] if not self.program.needs[i] & ~self.done(order[:at])}
                    waits = node.otherwise is None and any(self.acts(i, order[:at], state) for i in ready)
                    if truth is not Tri.YES and not waits:
                        self.stop(name, True, length)
                    if truth is Tri.NO:
                        return
                    state = state_if_so
        for rule in self.world.finish(state):
            self.breaks(rule, length, None)

    def done(self, taken: list[int]) -> int:
        return sum(1 << index for index in taken)

    def acts(self, index: int, taken: list[int], state: Here) -> bool:
        """True if a ready node is an action, or a look that can be passed and so is not what the run hangs on."""
        node = self.program.nodes[index]
        if isinstance(node, Do):
            return True
        assert isinstance(node, Look)
        return all(self.world.observe(state, condition).truth is not Tri.NO for condition in node.conditions)

    def breaks(self, rule: str, length: int, where: str | None) -> None:
        self.broken[rule] = min(length, self.broken.get(rule, length))
        self.places.setdefault((rule, length), set()).add(where)

    def stop(self, name: str, look: bool, length: int) -> None:
        self.stops[name, look] = min(length, self.stops.get((name, look), length))


def expected(brute: Brute, base: Brute) -> tuple[Outcome, str | None, set[str | None]]:
    """(outcome, rule, where it may be said to happen)."""
    new = {rule: length for rule, length in brute.broken.items() if rule in SEVERITY and rule not in base.broken}
    if new:
        rule = min(new, key=lambda one: (-SEVERITY[one], new[one], one))
        return Outcome.SILENT, rule, brute.places[rule, new[rule]]
    stops = {what: length for what, length in brute.stops.items() if what not in base.stops}
    if not stops:
        return Outcome.HARMLESS, None, {None}
    name, look = min(stops, key=lambda one: (stops[one], one))
    return Outcome.CAUGHT if look else Outcome.STOPPED, None, {name}


def compared(seed: int) -> list[tuple[Variant, Slip]]:
    rng = random.Random(seed)
    body = random_body(rng)
    world = CircuitWorld(LAYOUT, (START,), RULES, ())
    bounds = Bounds(states=100_000, seconds=60)
    finder = Finder(world, body, rig(), workspace().rules, clock=time.process_time, bounds=bounds)
    own = CircuitWorld(LAYOUT, (START,), RULES, ())
    base = Brute(body, own)
    every = list(variants(body, rig()))
    out: list[tuple[Variant, Slip]] = []
    for variant in rng.sample(every, min(MOST, len(every))):
        slip = finder.judge(variant)
        outcome, rule, where = expected(Brute(variant.body, own), base)
        assert (slip.outcome, slip.rule) == (outcome, rule), (variant.step, variant.sort, variant.detail)
        assert slip.where in where
        fatal = FATAL - base.broken.keys()
        if slip.fatal_silent:
            assert slip.harms == harms(variant.body, own, fatal)
            second = confirmed(variant, finder.steps)
            left = slip.harms if second is None else harms(second.body, own, fatal)
            assert slip.unconfirmed == left, (variant.step, variant.sort, variant.detail)
        elif slip.outcome in (Outcome.STOPPED, Outcome.CAUGHT):
            blind_base = Brute(blind(body), own).broken.keys()
            assert slip.fatal == bool(set(harms(blind(variant.body), own, FATAL - blind_base)))
        out.append((variant, slip))
    # What variants share changes nothing: the last one judged alone, in a world of its own, is the same.
    alone = CircuitWorld(LAYOUT, (START,), RULES, ())
    fresh = Finder(alone, body, rig(), workspace().rules, clock=time.process_time, bounds=bounds)
    assert fresh.judge(out[-1][0]) == out[-1][1]
    return out


def harms(body: Body, world: CircuitWorld, fatal: frozenset[str]) -> tuple[str, ...]:
    """The fatal rules that some order violates before any other of them."""
    return tuple(sorted(Brute(body, world, fatal).broken.keys() & fatal))


@pytest.mark.nightly
@pytest.mark.parametrize("seed", range(60, 400))
def test_slips_and_every_order_agree_on_many_more(seed: int) -> None:
    assert compared(seed)


@pytest.mark.parametrize("seed", range(60))
def test_slips_and_every_order_agree(seed: int) -> None:
    assert compared(seed)


def test_the_random_procedures_meet_every_outcome_and_sort() -> None:
    """A comparison in which every slip is harmless, or none is confirmed, would show nothing."""
    met = [one for seed in range(25) for one in compared(seed)]
    assert {slip.outcome for _, slip in met} == {Outcome.HARMLESS, Outcome.STOPPED, Outcome.CAUGHT, Outcome.SILENT}
    assert len({variant.sort for variant, _ in met}) == 5
    silent = [slip for _, slip in met if slip.fatal_silent]
    assert any(slip.confirmed_by for slip in silent)
    assert any(not slip.confirmed_by for slip in silent)
