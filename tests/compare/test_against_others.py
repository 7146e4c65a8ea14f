"""The matching against a diff of lines and a diff of data, on the same made edits; the bench beside it prints more."""

from __future__ import annotations

import pytest

from tests.compare.bench import measure


@pytest.mark.parametrize(("share", "least"), [(0.0, 0.995), (0.3, 0.98), (1.0, 0.98)])
def test_it_finds_what_was_done_and_more_of_it_than_the_others(share: float, least: float) -> None:
    tallies = measure(30, share)
    ours = tallies.pop("stepwell")
    assert ours.f1 >= least
    assert ours.items <= 1.05
    assert all(other.f1 < ours.f1 for other in tallies.values())


@pytest.mark.nightly
@pytest.mark.parametrize(("share", "least"), [(0.0, 0.995), (0.3, 0.98), (1.0, 0.98)])
def test_the_same_on_many(share: float, least: float) -> None:
    ours = measure(400, share, seed=2)["stepwell"]
    assert (ours.f1 >= least, ours.items <= 1.05, ours.whole >= 0.95 * ours.documents) == (True, True, True)
