"""The pictures of a card follow one way through it and never show two answers at once."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.contents import DRY
from stepwell.model.predicate import Fact, Ref
from stepwell.model.procedure import Action, Body, Choose, Condition, Hold, Outcome, Repeat, Starts, Step, Text
from stepwell.report.circuit_state import circuit_state
from stepwell.report.pictures import pictures_of
from stepwell.report.results import StepPicture
from stepwell.report.starts import start_states
from stepwell.report.world import CircuitWorld
from stepwell.source.workspace import load_workspace

PROTOCOLS = Path(__file__).parent.parent.parent / "protocols"
SHUT = Fact(name="shut", args=(Ref(name="return-clamp"),))


def pictured(body: Body, rig_id: str = "adult-va", baseline: str = "supported") -> dict[str, StepPicture]:
    workspace = load_workspace(PROTOCOLS).workspace
    assert workspace is not None
    rig = next(one for one in workspace.rigs if one.id == rig_id)
    procedure = replace(workspace.procedures[0], body=body, starts=Starts(baseline=baseline), rig=rig_id)
    layout = compile_rig(rig)
    world = CircuitWorld(layout, start_states(layout, procedure), (), ())
    return {one.step: one for one in pictures_of(world, procedure)}


def step(name: str, *does: tuple[str, str]) -> Step:
    return Step(id=name, who="specialist", say=(Text("Do it."),), do=tuple(Action(verb=v, parts=(p,)) for v, p in does))


def question(*outcomes: Outcome) -> Choose:
    return Choose(id="q1aa", question=(Text("Which?"),), who="specialist", outcomes=outcomes)


def test_answers_begin_where_the_question_stands() -> None:
    found = pictured(
        (
            step("a1aa", ("shut", "drain-clamp")),
            question(
                Outcome(label="ends", body=(step("b1aa", ("shut", "return-cannula-clamp")),), end=True),
                Outcome(label="goes on", body=(step("c1aa", ("shut", "return-clamp")),)),
                Outcome(label="otherwise", body=(step("d1aa", ("stop", "pump")),)),
            ),
            step("e1aa", ("gas-off", "gas")),
        )
    )
    after = found["a1aa"].after
    assert all(found[name].before == after for name in ("b1aa", "c1aa", "d1aa"))
    assert found["e1aa"].before == found["c1aa"].after
    assert len({found[name].after for name in ("b1aa", "c1aa", "d1aa")}) == 3


def test_nothing_is_told_after_a_question_that_always_ends() -> None:
    found = pictured(
        (question(Outcome(label="ends", end=True), Outcome(label="card", card="x")), step("e1aa", ("stop", "pump")))
    )
    assert found == {}


def test_a_refused_action_ends_the_way() -> None:
    part = Step(
        id="a1aa", who="specialist", say=(Text("Part."),), do=(Action(verb="part", parts=("drain-end", "return-end")),)
    )
    found = pictured((part, step("b1aa", ("stop", "pump"))))
    assert list(found) == ["a1aa"]
    assert found["a1aa"].changes[0].startswith("can't be done: ")
    assert found["a1aa"].after == found["a1aa"].before


def test_a_repeat_is_gone_round_until_it_is_so() -> None:
    rounds = Repeat(id="r1aa", title="again", until=SHUT, at_most=3, body=(step("a1aa", ("shut", "return-clamp")),))
    found = pictured((rounds, step("b1aa", ("stop", "pump"))))
    assert found["a1aa"].after == found["b1aa"].before
    assert found["a1aa"].before != found["a1aa"].after


def test_a_hold_watches_the_filling_to_its_end() -> None:
    workspace = load_workspace(PROTOCOLS).workspace
    assert workspace is not None
    rig = next(one for one in workspace.rigs if one.id == "adult-bedside")
    layout = compile_rig(rig)
    joins = (("prime-spike", "bag-port"), ("recirc-spike", "bag-return-port"))
    fill = Step(
        id="a1aa",
        who="primer",
        say=(Text("Fill."),),
        do=(
            Action(verb="seat", parts=("pump-head",)),
            Action(verb="open", parts=("oxy-vent",)),
            Action(verb="hang", parts=("prime-bag",)),
            *(Action(verb="join", parts=pair) for pair in joins),
        ),
    )
    filled = Condition(predicate=Fact(name="filled", args=(Ref(name="pump-line"),)))
    hold = Hold(id="h1aa", title=(Text("Full"),), until=(filled,), agree=(), abort=())
    found = pictured((fill, hold, step("b1aa", ("shut", "prime-clamp"))), "adult-bedside", "unpacked")

    def dry(state: tuple[int, ...]) -> bool:
        return bool(next(one.contents or 0 for one in circuit_state(layout, state).parts if one.part == "pump-line") & DRY)

    assert dry(found["a1aa"].after), "it may still be dry while nobody has looked"
    assert not dry(found["b1aa"].before), "the hold waited for it"
