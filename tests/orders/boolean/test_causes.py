"""What is shown without a search, against the plain search: which is itself compared with every run and with two solvers."""

from __future__ import annotations

import time
from collections import Counter

import pytest

from stepwell.model.procedure import Choose, Outcome
from stepwell.orders.compile import compile_body
from stepwell.orders.search import Bounds, search
from tests.bench import families
from tests.bench.families import Writer, before, lanes, never
from tests.orders.boolean.causes import Causes, decide

from .declare import declare
from .instance import LARGE, SMALL, Instance, Rule, Shape, made
from .test_sliced import GUARDED, SAFER, check_run


def asked(instance: Instance) -> dict[str, str]:
    """Per rule what its causes say: never, shown (a run of exactly the length that no run can undercut), sketch or open."""
    program, world = compile_body(instance.body), declare(instance)
    causes, found = Causes(program, world), {}
    for hazard in world.hazards:
        answer, run = causes.ask(hazard)
        exact = run is not None and answer.sketch is not None and run.length == answer.sketch.length
        found[hazard.name] = (
            "open" if not answer.decided else "never" if answer.sketch is None else "shown" if exact else "sketch"
        )
    return found


def compared(first: int, instances: int, shape: Shape) -> Counter[str]:
    """How often each was said; an assertion fails where the plain search says otherwise."""
    counted: Counter[str] = Counter()
    seed = first
    done = 0
    while done < instances:
        seed += 1
        instance = made(seed, shape)
        program, world = compile_body(instance.body), declare(instance)
        found = search(program, world, bounds=Bounds(states=60_000), clock=time.monotonic)
        if not found.complete:
            continue
        done += 1
        lengths = {one.rule: one.run.length for one in found.violated}
        causes = Causes(program, world)
        for hazard in world.hazards:
            answer, run = causes.ask(hazard)
            shortest = lengths.get(hazard.name)
            counted["verdicts"] += 1
            counted["violated"] += shortest is not None
            if not answer.decided:
                counted["open"] += 1
            elif answer.sketch is None:
                counted["never"] += 1
                assert shortest is None, (seed, hazard)
            else:
                assert shortest is None or answer.sketch.length <= shortest, (seed, hazard)
                counted["sketched"] += 1
            if run is not None:
                check_run(program, world, hazard.name, run)
                assert shortest is not None
                assert run.length >= shortest
                assert answer.sketch is not None
                if run.length == answer.sketch.length:
                    assert run.length == shortest, (seed, hazard)
                    counted["shown"] += 1
    return counted


def test_a_share_of_the_instances() -> None:
    counted = compared(0, 300, SMALL)
    assert 0.2 < counted["violated"] / counted["verdicts"] < 0.8
    assert counted["never"] > counted["verdicts"] / 4, "else it would show too little to be worth asking"
    assert counted["shown"] > counted["violated"] / 4
    for shape in (LARGE, SAFER, GUARDED):
        counted = compared(0, 15, shape)
        assert counted["never"] > 0
        assert counted["shown"] > 0


@pytest.mark.nightly
@pytest.mark.parametrize(
    ("shape", "instances"),
    [(SMALL, 3000), (LARGE, 300), (SAFER, 300), (GUARDED, 300)],
    ids=["small", "large", "safer", "guarded"],
)
def test_all_instances(shape: Shape, instances: int) -> None:
    print(dict(compared(0, instances, shape)))


@pytest.mark.parametrize("family", [families.e(), families.w(4, 20), families.d(4, 20)], ids=["E", "W 4x20", "D 4x20"])
def test_the_safe_families_are_shown_safe_without_a_search(family: Instance) -> None:
    assert set(asked(family).values()) == {"never"}


def test_the_unsafe_families_are_shown_with_a_shortest_run() -> None:
    for made_unsafe in (families.w(3, 8, safe=False), families.d(2, 8, safe=False)):
        program, world = compile_body(made_unsafe.body), declare(made_unsafe)
        plain = search(program, world, bounds=Bounds(), clock=time.monotonic)
        found = decide(program, world, bounds=Bounds(), clock=time.monotonic)
        lengths = {one.hazard: one.run.length for one in found if one.run is not None}
        assert lengths == {one.rule: one.run.length for one in plain.violated}
        assert lengths


def test_what_only_one_of_two_answers_brings_about_can_not_come_together() -> None:
    """x comes with the first answer and y with the second, so x and y are never so together; x and z are."""
    writer = Writer()
    x, y, z = (writer.step(name, (name, True)) for name in "xyz")
    question = Choose(id="q", question=(), who="a", outcomes=(Outcome(label="1", body=(x,)), Outcome(label="2", body=(y,))))
    rules = (never("both", ("x", True), ("y", True)), never("with-z", ("x", True), ("z", True)))
    instance = writer.instance((lanes((question,), (z,)),), rules)
    assert asked(instance) == {"both": "never", "with-z": "shown"}


def test_three_lanes_of_which_each_undoes_what_the_next_did_can_not_all_come_last() -> None:
    """Lane n makes its own so and then undoes that of the next, so at the end not all three are so; two of them can be."""
    writer = Writer()
    made_in = (
        (writer.step(f"set{n}", (f"x{n}", True)), writer.step(f"undo{n}", (f"x{(n + 1) % 3}", False))) for n in range(3)
    )
    body = (lanes(*made_in),)
    every = Rule(name="all", moment="end", verb="", bad=tuple((f"x{n}", True) for n in range(3)))
    two = Rule(name="two", moment="end", verb="", bad=tuple((f"x{n}", True) for n in range(2)))
    assert asked(writer.instance(body, (every, two))) == {"all": "never", "two": "shown"}


def test_an_optional_step_that_undoes_it_proves_nothing() -> None:
    """The clamp is shut by a step that may be left out: then it is open at the end."""
    writer = Writer()
    opened = writer.step("open", ("clamp", True))
    for optional, said in ((False, "never"), (True, "shown")):
        shut = writer.step("shut", ("clamp", False), optional=optional)
        run = writer.step("run")
        instance = writer.instance((opened, shut, run), (before("run-open", "run", ("clamp", True)),))
        assert asked(instance) == {"run-open": said}


def test_nothing_comes_after_an_answer_that_ends_the_card() -> None:
    """Who runs waits for the filling. The answer that leaves it out ends the card, so nobody runs the set dry."""
    writer = Writer()
    fill, more, run = writer.step("fill", ("wet", True)), writer.step("more"), writer.step("run", after=("fill",))
    question = Choose(
        id="q",
        question=(),
        who="a",
        outcomes=(Outcome(label="fill", body=(fill, more)), Outcome(label="leave", body=(), end=True)),
    )
    instance = writer.instance((lanes((question,), (run,)),), (before("run-dry", "run", ("wet", False)),))
    assert asked(instance) == {"run-dry": "sketch"}, "such a run is not ruled out, and can't be done either"


def test_a_hold_that_only_one_step_can_satisfy_comes_after_it() -> None:
    """The lanes have no order of their own; what is refused until the line is filled comes after the filling."""
    writer = Writer()
    fill = writer.step("fill", ("wet", True))
    zero = writer.step("zero", ("zeroed", True), needs=(("wet", True),))
    run = writer.step("run", after=("zero",))
    instance = writer.instance((lanes((fill,), (zero, run)),), (before("run-dry", "run", ("wet", False)),))
    assert asked(instance) == {"run-dry": "never"}
    # That an action is refused does not keep it from being begun: a rule for that moment still has its say.
    begun = writer.instance((lanes((fill,), (zero, run)),), (before("zero-dry", "zero", ("wet", False)),))
    assert asked(begun) == {"zero-dry": "shown"}
