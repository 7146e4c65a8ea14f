"""The page on how steps go together: every example is read by the tool and has just the orders that stand behind it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from stepwell.model.predicate import Not, Predicate
from stepwell.model.procedure import Body
from stepwell.model.tri import Tri, negation
from stepwell.orders.world import Observed
from tests.rules.harness import CASES, Case, loaded_case

from .test_meaning import Tape, found_in

PAGE = Path(__file__).parents[2] / "toolkit" / "stepwell" / "orders" / "ORDERS.md"
_EXAMPLE = re.compile(r"^```yaml example(?:, (no|may be))?\n(.*?)^```\nOrders: ([^\n]+)$", re.M | re.S)
_STEP = re.compile(r"([A-Z])(?: \((.+)\))?")
TRUTH = {"": Tri.YES, "no": Tri.NO, "may be": Tri.MAYBE}
TEXT = PAGE.read_text("utf-8")
EXAMPLES = [(TRUTH[truth], text, said) for truth, text, said in _EXAMPLE.findall(TEXT)]
VENT = {"open": "vent"}


class Vent(Tape):
    """The vent is open, or not, or may be, all the while; what is asked is that, or the opposite."""

    def observe(self, state: str, predicate: Predicate) -> Observed[str]:
        told, new = super().observe(state, predicate)
        return Observed(negation(told) if isinstance(predicate, Not) else told, new)


def step(letter: str, traits: str) -> dict[str, Any]:
    """The step that a letter of the page stands for."""
    found: dict[str, Any] = {"id": letter.lower() + "111", "who": "one", "say": "Open {vent}.", "do": [dict(VENT)]}
    for trait in filter(None, traits.split(", ")):
        match trait.split():
            case ["two", "actions"]:
                found["do"] = [dict(VENT), dict(VENT)]
            case ["two", "at", "once"]:
                found["do"] = {"together": [dict(VENT), dict(VENT)]}
            case ["optional"]:
                found["optional"] = True
            case ["after", other]:
                found["after"] = [other.lower() + "111"]
            case ["expects", "the", "vent", "open"]:
                found["expect"] = dict(VENT)
            case _:
                raise AssertionError(trait)
    return found


def written_out(node: Any) -> Any:
    """The example with its letters written out as steps."""
    match node:
        case dict():
            return {key: written_out(value) for key, value in node.items()}
        case list():
            return [written_out(item) for item in node]
        case str() if found := _STEP.fullmatch(node):
            return step(found[1], found[2] or "")
    return node


def body_of(text: str, folder: Path) -> Body:
    """The example as the loader reads it."""
    whole = {"starts": {"from": "dry"}, "people": ["one", "two", "three"], "body": written_out(yaml.safe_load(text))}
    rig = (CASES / "base-rig.yaml").read_text("utf-8")
    case = Case(rule="page", number=1, fails=False, text=yaml.safe_dump(whole, sort_keys=False), rig=rig)
    (found,) = loaded_case(case, folder / "unit", {"three": {"label": "Third person", "mark": "T"}}).procedures
    return found.body


@pytest.mark.parametrize(("truth", "text", "said"), EXAMPLES, ids=[f"example {n}" for n in range(1, len(EXAMPLES) + 1)])
def test_an_example_has_the_orders_that_the_page_says(truth: Tri, text: str, said: str, tmp_path: Path) -> None:
    program, found = found_in(body_of(text, tmp_path), Vent(truth))
    assert program.problems == ()
    assert found.complete
    orders = {" ".join(re.findall("[A-Z]'*", end.state.replace("111", "").upper())) for end in found.ended}
    wanted = re.findall("`([A-Z' ]+)`", said)
    assert len(wanted) == len(set(wanted))
    assert orders == set(wanted)
    assert bool(wanted) is not (said == "none")


def test_the_examples_show_every_form_inside_every_frame() -> None:
    """No row of the table is without an example, and none is read past."""
    assert TEXT.count("```yaml example") == len(EXAMPLES) >= 30
    rows = re.findall(r"^\| (.+?) \|", TEXT, re.M)
    shown = " ".join(text for _, text, _ in EXAMPLES)
    for word in ("stage", "any-order", "lanes", "choose", "repeat", "hold", "optional", "after", "meet"):
        assert any(word in row for row in rows), word
        assert word in shown, word
    assert "two at once" in shown
    frames = {
        frozenset(re.findall(r"\b(any-order|lanes|choose|repeat|hold|optional|after|at once)\b", t)) for _, t, _ in EXAMPLES
    }
    inside = (
        ("any-order", "lanes"), ("any-order", "choose"), ("any-order", "hold"), ("any-order", "optional"),
        ("any-order", "repeat"), ("any-order", "after"), ("any-order", "at once"), ("lanes", "choose"), ("lanes", "repeat"),
        ("lanes", "hold"), ("lanes", "optional"), ("lanes", "after"), ("lanes", "at once"), ("choose", "repeat"),
        ("repeat", "hold"), ("repeat", "after"), ("choose", "after"), ("optional", "after"),
    )  # fmt: skip
    for pair in inside:
        assert any(frame.issuperset(pair) for frame in frames), pair
