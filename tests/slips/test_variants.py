"""The ways in which one step may go wrong once, and which of them is told."""

from __future__ import annotations

import time
from pathlib import Path

from stepwell.model.predicate import Fact, Ref
from stepwell.model.procedure import Action, Condition, Otherwise, Step, Text
from stepwell.model.rig import Part, Rig
from stepwell.slips.find import find_slips
from stepwell.slips.results import Outcome, Sort
from stepwell.slips.variants import Variant, variants
from tests.rules.harness import CASES, Case, loaded_case


def part(name: str, kind: str, *traits: str) -> Part:
    return Part(id=name, kind=kind, label=f"the {name}", traits=traits)


PARTS = (
    part("hose", "end"),
    part("port", "end"),
    part("spare", "end"),
    part("near", "clamp", "on-main-path"),
    part("far", "clamp", "on-main-path"),
    part("side", "clamp"),
)
SET = Rig(id="set", title="Set", version="1", parts=PARTS, chains=(), baselines=())


def step(*do: Action) -> Step:
    """A step that looks at what it did, says what to do otherwise, and is confirmed."""
    look = Condition(predicate=Fact("shut", (Ref("near"),)))
    call = Otherwise(words=(Text("Call."),))
    return Step(id="s1aa", who="one", say=(), do=do, expect=(look,), if_not=call, confirm="two")


def of(sort: Sort, *do: Action) -> list[Variant]:
    return [one for one in variants((step(*do),), SET) if one.sort is sort]


def changed(variant: Variant) -> Step:
    (found,) = variant.body
    assert isinstance(found, Step)
    return found


def test_either_part_of_an_action_may_be_mistaken() -> None:
    found = of(Sort.LOOK_ALIKE, Action(verb="join", parts=("hose", "port")))
    assert [(one.detail, changed(one).do[0].parts) for one in found] == [
        ("the spare instead of the hose", ("spare", "port")),
        ("the spare instead of the port", ("hose", "spare")),
    ]


def test_only_what_looks_alike_is_taken_for_another() -> None:
    found = of(Sort.LOOK_ALIKE, Action(verb="shut", parts=("near",)), Action(verb="shut", parts=("side",)))
    assert [[action.parts for action in changed(one).do] for one in found] == [[("far",), ("side",)]]


def test_what_is_forgotten_is_forgotten_with_its_check() -> None:
    (found,) = of(Sort.OMITTED, Action(verb="shut", parts=("near",)))
    left = changed(found)
    assert (left.do, left.expect, left.if_not, left.confirm) == ((), (), None, None)


def test_who_does_the_wrong_thing_does_not_look_at_it() -> None:
    for sort in (Sort.LOOK_ALIKE, Sort.UNCHECKED):
        for one in of(sort, Action(verb="shut", parts=("near",))):
            assert changed(one).expect == ()
            assert changed(one).confirm is None


def test_of_the_ways_in_which_a_slip_may_happen_the_worst_is_told(tmp_path: Path) -> None:
    """The first thing that may be taken for the spike fits the port and does no harm; the third can't be joined at all."""
    body = """\
starts: {from: primed}
body:
  - {id: j4nn, who: one, say: "Join {spike} to {bag-port}.", do: {join: [spike, bag-port]}}
"""
    unit = loaded_case(
        Case(rule="", number=1, fails=False, text=body, rig=(CASES / "base-rig.yaml").read_text("utf-8")), tmp_path
    )
    (card,), (own,) = unit.procedures, unit.rigs
    ways = [one.detail for one in variants(card.body, own) if one.sort is Sort.LOOK_ALIKE]
    assert ways[:3] == [
        "upper port of the bag instead of spike",
        "upper spike instead of spike",
        "drainage end instead of spike",
    ]
    report = find_slips(unit, card, clock=time.monotonic)
    assert report is not None
    slip = report.slip("j4nn", Sort.LOOK_ALIKE)
    assert slip is not None
    assert (slip.outcome, slip.detail, slip.where) == (Outcome.STOPPED, "drainage end instead of spike", "j4nn")
