"""A draft that was laid out before is found again by all that it depends on, and by nothing less."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from stepwell.publish.sheet import ReleaseMark, Sheet
from stepwell.render.cards import keep
from stepwell.render.cards.keep import card_of
from stepwell.render.cards.render import CardResult, render_card
from stepwell.report.keep import NOTHING_KEPT
from tests import demo
from tests.cards.test_start import report, sheet_of
from tests.publish.bench import AS_OF


class Memory:
    """A cache that keeps texts in a dictionary."""

    def __init__(self, salt: str = "this tool") -> None:
        self.salt = salt
        self.texts: dict[str, str] = {}

    def get(self, key: str) -> str | None:
        return self.texts.get(key)

    def put(self, key: str, text: str) -> None:
        self.texts[key] = text


@pytest.fixture
def laid_out() -> list[Sheet]:
    """What was laid out."""
    return []


def made(sheet: Sheet, memory: Memory, laid_out: list[Sheet], given: object = None) -> CardResult:
    def render(one: Sheet, **rest: object) -> CardResult:
        laid_out.append(one)
        return render_card(one, **rest)  # type: ignore[arg-type]

    return card_of(sheet, AS_OF, demo.workspace(), given or report(), memory, render)  # type: ignore[arg-type]


@pytest.mark.parametrize("name", ["air-in-circuit", "connect-va", "circuit-change"])
def test_it_is_laid_out_once(name: str, laid_out: list[Sheet]) -> None:
    memory = Memory()
    first = made(sheet_of(name), memory, laid_out)
    assert made(sheet_of(name), memory, laid_out) == first
    assert len(laid_out) == 1
    assert made(sheet_of(name), Memory(), laid_out).pdf == first.pdf


def test_whatever_it_depends_on_makes_it_another(laid_out: list[Sheet]) -> None:
    memory = Memory()
    sheet = sheet_of("connect-va")
    made(sheet, memory, laid_out)
    entries = tuple(replace(one, starts=one.starts * 2) for one in report().procedures)
    others = (
        lambda: made(replace(sheet, title="Other"), memory, laid_out),
        lambda: made(replace(sheet, in_english=1), memory, laid_out),
        lambda: made(replace(sheet, status=replace(sheet.status, reasons=("other",))), memory, laid_out),
        lambda: made(sheet, memory, laid_out, replace(report(), procedures=entries)),
        lambda: card_of(sheet, AS_OF + timedelta(days=1), demo.workspace(), report(), memory, counted(laid_out)),
        lambda: card_of(sheet, AS_OF, with_label(), report(), memory, counted(laid_out)),
    )
    for number, other in enumerate(others, start=2):
        other()
        assert len(laid_out) == number
    memory.salt = "another tool"
    made(sheet, memory, laid_out)
    assert len(laid_out) == len(others) + 2


def counted(laid_out: list[Sheet]):  # type: ignore[no-untyped-def]
    def render(one: Sheet, **rest: object) -> CardResult:
        laid_out.append(one)
        return render_card(one, **rest)  # type: ignore[arg-type]

    return render


def with_label():  # type: ignore[no-untyped-def]
    """The demo with one part of the set called otherwise, though not in the card's words."""
    space = demo.workspace()
    change = {
        rig.id: tuple(replace(p, label="sweep gas hose") if p.kind == "gas-supply" else p for p in rig.parts)
        for rig in space.rigs
    }
    return replace(space, rigs=tuple(replace(rig, parts=change[rig.id], title=rig.title + " ") for rig in space.rigs))


def test_another_layout_is_another_card(laid_out: list[Sheet], monkeypatch: pytest.MonkeyPatch) -> None:
    memory = Memory()
    made(sheet_of("air-in-circuit"), memory, laid_out)
    monkeypatch.setattr(keep, "_layout", lambda: ("other",))
    made(sheet_of("air-in-circuit"), memory, laid_out)
    assert len(laid_out) == 2


def test_what_is_damaged_is_laid_out_again(laid_out: list[Sheet]) -> None:
    memory = Memory()
    first = made(sheet_of("air-in-circuit"), memory, laid_out)
    for harm in (lambda t: "", lambda t: t[:-9], lambda t: t.replace("JVBERi0", "JVBERi1"), lambda t: "[]"):
        (key,) = memory.texts
        memory.texts[key] = harm(memory.texts[key])
        assert made(sheet_of("air-in-circuit"), memory, laid_out) == first
    assert len(laid_out) == 5


def test_nothing_is_kept_where_nothing_is_to_be_kept_and_nothing_that_is_released(laid_out: list[Sheet]) -> None:
    card_of(sheet_of("air-in-circuit"), AS_OF, demo.workspace(), report(), NOTHING_KEPT, counted(laid_out))
    memory = Memory()
    released = replace(sheet_of("air-in-circuit"), release=ReleaseMark(approved=AS_OF, effective=AS_OF))
    made(released, memory, laid_out)
    assert memory.texts == {}
