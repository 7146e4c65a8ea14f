"""What is foretold of the pages without laying them out again is what the typesetter would lay out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from stepwell.render.cards import paging
from stepwell.render.cards.attempt import Card
from stepwell.render.cards.facts import Layout
from stepwell.render.cards.page_data import Breaks
from stepwell.render.cards.start import Placed, start_in
from tests import demo
from tests.cards.test_fit import card_for
from tests.cards.test_start import ROUTINE, report, sheet_of

WITHIN = 0.02
"""In mm; the template is told heights in hundredths."""


def places(layout: Layout) -> dict[tuple[str, str, str], float]:
    return {(mark.sort, mark.id, mark.at): mark.y for mark in layout.marks}


@pytest.mark.parametrize("name", ROUTINE)
@pytest.mark.parametrize("code", ["en", "de"])
def test_a_drawing_of_another_height_moves_what_is_below_it(name: str, code: str) -> None:
    sheet = sheet_of(name, code)
    card, foretold, _ = paging._with_start(card_for(sheet), start_in(demo.workspace(), report(), sheet))
    assert card.start is not None
    here, there = places(foretold), places(card.attempt(1.0, Breaks(tall=True)).layout)
    assert here.keys() == there.keys()
    for place, y in there.items():
        assert here[place] == pytest.approx(y, abs=WITHIN), place
    # Without the drawing's own picture it takes the room that it takes with it.
    shown, told = card.start.plain(), card.start.plain(drawn=False)
    assert isinstance(shown, dict)
    assert isinstance(told, dict)
    assert {key for key in shown if shown[key] != told[key]} == {"svg", "words"}


def test_a_drawing_that_never_finds_its_height_does_not_go_on_for_ever(monkeypatch: pytest.MonkeyPatch) -> None:
    sheet = sheet_of("connect-va")
    tried: list[float] = []

    def never(placed: Placed, *_: object) -> Placed:
        tried.append(placed.height)
        return replace(placed, height=placed.height + (1.0 if len(tried) % 2 else -1.0))

    monkeypatch.setattr(paging, "settled", never)
    card, layout, found = paging._with_start(card_for(sheet), start_in(demo.workspace(), report(), sheet))
    assert isinstance(card, Card)
    assert card.start is not None
    assert layout.place("drawing", "start", "end") is not None
    assert len(tried) == paging._MOST_ROUNDS
    assert not found
