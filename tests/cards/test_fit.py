"""The type is as large as one side allows, page ends are foretold, and neither takes many layouts."""

from __future__ import annotations

from dataclasses import replace

import pytest

from stepwell.model.procedure import Procedure, Stage, Step
from stepwell.publish.canonical import plain_data
from stepwell.publish.sheet import Sheet
from stepwell.render.cards import fit
from stepwell.render.cards.attempt import Attempt, Card
from stepwell.render.cards.clean import Cleaner
from stepwell.render.cards.engine import default_engine
from stepwell.render.cards.fit import FULL, NEAR, fitted
from stepwell.render.cards.page_data import TOP_MM, Breaks
from stepwell.render.cards.paging import paged
from stepwell.render.cards.places import without_repeats
from stepwell.render.cards.sizes import LARGEST_SCALE, least_scale, sizes_at
from stepwell.render.cards.stops import ends_well, next_end
from tests.cards.made import sheet_of
from tests.publish.bench import AS_OF, emergency, routine, say


def card_for(sheet: Sheet) -> Card:
    engine = default_engine()
    cleaner = Cleaner(characters=engine.characters)
    plain = cleaner.clean(without_repeats(plain_data(sheet)))
    return Card(engine=engine, sheet=sheet, as_of=AS_OF, plain=plain, cleaner=cleaner)


def lines(count: int, stem: str = "s") -> tuple[Step, ...]:
    return tuple(Step(id=f"{stem}{n:03}", who="primer", say=say("Shut {drain-clamp}.")) for n in range(count))


def urgent(count: int) -> Procedure:
    return replace(emergency(), body=(Stage(title="At once", body=lines(3)), Stage(title="Then", body=lines(count, "t"))))


@pytest.fixture
def tried(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The scale of every layout that is made."""
    scales: list[float] = []
    original = Card.attempt

    def attempt(card: Card, scale: float, breaks: Breaks) -> Attempt:
        scales.append(scale)
        return original(card, scale, breaks)

    monkeypatch.setattr(Card, "attempt", attempt)
    return scales


@pytest.mark.parametrize("count", [4, 8, 9, 10, 11, 12, 13])
def test_no_larger_type_would_fit(count: int, tried: list[float]) -> None:
    card = card_for(sheet_of(urgent(count)))
    made = fitted(card)
    assert len(tried) <= 3
    assert made.layout.pages == 1
    font = card.engine.main_font
    scale = next(one for one in tried if sizes_at(card.sheet.reading_distance_mm, font, one) == made.sizes)
    close = made.layout.place("close", "close", "end")
    assert close is not None
    full = close.y - TOP_MM >= FULL * (card.bottom - TOP_MM)
    larger = min(LARGEST_SCALE, scale + 1.01 * NEAR)
    assert full or scale > LARGEST_SCALE - NEAR or card.attempt(larger, Breaks()).layout.pages > 1


def test_what_never_fits_is_tried_twice(tried: list[float]) -> None:
    made = fitted(card_for(sheet_of(urgent(40))))
    assert made.layout.pages > 1
    assert tried == [1.0, least_scale()]


def test_a_step_longer_than_a_side_may_break_however_the_search_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    """Also where no layout that was tried came down to the least size."""
    step = Step(id="long", who="primer", say=say("Shut {drain-clamp}. " * 400))
    card = card_for(sheet_of(replace(emergency(), body=(Stage(title="At once", body=(step,)),))))
    asked: list[frozenset[str]] = []
    original = Card.attempt

    def attempt(one: Card, scale: float, breaks: Breaks) -> Attempt:
        asked.append(breaks.loose)
        return original(one, scale, breaks)

    monkeypatch.setattr(Card, "attempt", attempt)
    for most in (1, 3):
        monkeypatch.setattr(fit, "_MOST", most)
        made = fitted(card)
        assert asked[-1] == {"long"}
        assert made.layout.split("step")
        assert not made.layout.too_long(card.bottom)


def long(stages: int, each: int) -> Procedure:
    body = tuple(Stage(title=f"Stage {n}", body=lines(each, f"{n}x")) for n in range(stages))
    return replace(routine(), kit=(), body=body)


@pytest.mark.parametrize(("stages", "each"), [(2, 3), (3, 9), (6, 7), (9, 5), (5, 14), (2, 40)])
def test_pages_end_as_well_as_if_each_were_looked_for(stages: int, each: int, tried: list[float]) -> None:
    card = card_for(sheet_of(long(stages, each)))
    made, _ = paged(card, None)
    assert len(tried) <= 4
    ends = tuple(
        at
        for at in range(stages - 1)
        if (place := made.layout.place("item", str(at + 1), "start")) is not None
        and (end := made.layout.place("item", str(at), "end")) is not None
        and place.page > end.page
    )
    for at in ends:
        place = made.layout.place("item", str(at), "end")
        assert place is not None
        assert ends_well(made.layout, card.sheet, at, place.page, card.bottom)
    assert next_end(made.layout, card.sheet, ends, card.bottom) is None
    assert not made.layout.split("step")


def test_the_bench_takes_few_layouts(tried: list[float]) -> None:
    made, _ = paged(card_for(sheet_of(routine())), None)
    assert made.layout.pages > 1
    assert len(tried) <= 3
