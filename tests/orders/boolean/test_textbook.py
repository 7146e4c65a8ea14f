"""Threats from the textbooks of partial-order planning, with their published answers (all from memory).

A causal link p is made by a producer for a consumer; a third action that may fall between them and undoes p is a threat.
It is resolved by demotion (before the producer), by promotion (behind the consumer), or by a "white knight" that makes p
again between the threat and the consumer (Chapman's criterion of modal truth).
"""

from __future__ import annotations

import time

import pytest

from stepwell.model.procedure import Action, AnyOrder, Step
from stepwell.orders.compile import compile_body
from stepwell.orders.program import Do
from stepwell.orders.search import Bounds, search
from stepwell.orders.searched import Searched

from .declare import declare
from .instance import Deed, Instance, Literals, Rule


def effect(**changes: bool) -> tuple[tuple[Literals, tuple[str, bool]], ...]:
    return tuple(((), change) for change in changes.items())


def unordered(after: dict[str, tuple[str, ...]]) -> tuple[AnyOrder]:
    steps = (Step(id=name, who="a", say=(), do=(Action(verb=name),), after=needs) for name, needs in after.items())
    return (AnyOrder(title="", body=tuple(steps)),)


def searched(instance: Instance) -> tuple[Searched[int], list[str]]:
    """The result, and the actions of the first violating or finishing run."""
    program = compile_body(instance.body)
    found = search(program, declare(instance), bounds=Bounds(), clock=time.monotonic)
    run = found.violated[0].run if found.violated else found.ended[0].run
    return found, [node.step for node in (program.nodes[move.node] for move in run.moves) if isinstance(node, Do)]


LINK = {
    "produce": Deed(needs=(), effects=effect(p=True)),
    "consume": Deed(needs=(), effects=()),
    "clobber": Deed(needs=(), effects=effect(p=False)),
    "knight": Deed(needs=(), effects=effect(p=True)),
}
NEEDED = Rule(name="consumed-without-p", moment="before", verb="consume", bad=(("p", False),))


@pytest.mark.parametrize(
    ("after", "shortest"),
    [
        pytest.param(
            {"produce": (), "consume": ("produce",), "clobber": ()}, ["produce", "clobber", "consume"], id="threat"
        ),
        pytest.param({"clobber": (), "produce": ("clobber",), "consume": ("produce",)}, None, id="demotion"),
        pytest.param({"produce": (), "consume": ("produce",), "clobber": ("consume",)}, None, id="promotion"),
        pytest.param(
            {"produce": (), "clobber": (), "knight": ("clobber",), "consume": ("produce", "knight")}, None, id="white knight"
        ),
        pytest.param(
            {"produce": (), "clobber": (), "knight": (), "consume": ("produce", "knight")},
            ["produce", "knight", "clobber", "consume"],
            id="a knight that may come too early",
        ),
    ],
)
def test_threats_to_a_causal_link(after: dict[str, tuple[str, ...]], shortest: list[str] | None) -> None:
    instance = Instance(
        facts=("p",),
        starts=(frozenset(),),
        deeds={verb: LINK[verb] for verb in after},
        rules=(NEEDED,),
        body=unordered(after),
    )
    found, run = searched(instance)
    assert found.complete
    assert bool(found.violated) == (shortest is not None)
    if shortest is not None:
        assert len(run) == len(shortest)
        assert run[-1] == "consume"
        assert run.index("clobber") > run.index("produce")


BLOCKS = {
    # C stands on A; A and B stand on the table. Wanted: A on B, B on C.
    "C from A to the table": Deed(
        needs=(("clear-C", True), ("C-on-A", True)), effects=effect(**{"C-on-A": False, "clear-A": True})
    ),
    "B from the table to C": Deed(
        needs=(("clear-B", True), ("clear-C", True)), effects=effect(**{"B-on-C": True, "clear-C": False})
    ),
    "A from the table to B": Deed(
        needs=(("clear-A", True), ("clear-B", True)), effects=effect(**{"A-on-B": True, "clear-B": False})
    ),
}
CLEARED = {"C from A to the table": "C1", "B from the table to C": "B1", "A from the table to B": "A1"}


def test_the_sussman_anomaly_has_one_order() -> None:
    """Published: put C on the table, then B on C, then A on B; every other order of the three moves gets stuck."""
    goal = Rule(name="goal-reached", moment="end", verb="", bad=(("A-on-B", True), ("B-on-C", True)))
    instance = Instance(
        facts=("clear-A", "clear-B", "clear-C", "C-on-A", "A-on-B", "B-on-C"),
        starts=(frozenset({"clear-B", "clear-C", "C-on-A"}),),
        deeds={CLEARED[name]: deed for name, deed in BLOCKS.items()},
        rules=(goal,),
        body=unordered({"C1": (), "B1": (), "A1": ()}),
    )
    found, run = searched(instance)
    # Taken as a hazard, the goal shows the only run that reaches it.
    assert [one.rule for one in found.violated] == ["goal-reached"]
    assert run == ["C1", "B1", "A1"]
    assert len(found.ended) == 1
    assert found.stuck is not None
