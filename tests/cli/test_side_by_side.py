"""Work done at once comes out in its order, and a fault stops what has not begun."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor

import pytest

from stepwell.cli import side_by_side as module
from stepwell.cli.side_by_side import side_by_side
from tests.cards.made import card_of
from tests.publish.bench import emergency, routine


@pytest.fixture(autouse=True)
def four_cores(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module.os, "cpu_count", lambda: 4)


def test_results_keep_the_order_of_the_things() -> None:
    later = threading.Event()

    def work(number: int) -> int:
        # The first is not done before the second is: were they done one after the other, this would never end.
        assert later.wait(30) if number == 0 else True
        later.set()
        return number * number

    assert list(side_by_side(work, range(50))) == [number * number for number in range(50)]


def test_one_core_works_one_after_the_other(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module.os, "cpu_count", lambda: 1)
    here = threading.get_ident()
    assert list(side_by_side(lambda _: threading.get_ident(), range(3))) == [here] * 3
    assert not list(side_by_side(str, ()))


def test_a_fault_is_raised_and_nothing_more_is_begun(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST", 2)
    begun: list[int] = []
    open_now = threading.Event()

    def work(number: int) -> int:
        begun.append(number)
        if number == 0:
            raise ValueError("the first one fails")
        assert open_now.wait(30)
        return number

    results = side_by_side(work, range(40))
    shut = threading.Timer(0.3, open_now.set)
    shut.start()
    with pytest.raises(ValueError, match="the first one fails"):
        next(results)
    shut.cancel()
    assert len(begun) < 10


def test_cards_made_at_once_have_the_same_bytes() -> None:
    one_by_one = [card_of(given).pdf for given in (emergency(), routine())]
    with ThreadPoolExecutor(max_workers=4) as pool:
        at_once = list(pool.map(lambda given: card_of(given).pdf, [emergency(), routine()] * 4))
    assert at_once == one_by_one * 4
