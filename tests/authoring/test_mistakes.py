"""At least 95 of 100 mistakes are told at the right line, with the right mend, in the author's words."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.authoring.mistakes.__main__ import rates
from tests.authoring.mistakes.ask import ask
from tests.authoring.mistakes.bank import Mistake, mistakes

BANK = mistakes()
FEW = BANK[::8]
"""A look at some of them on every run; all of them are nightly work."""


def _told(bank: tuple[Mistake, ...], folder: Path) -> None:
    answers = [ask(mistake, folder) for mistake in bank]
    wrong = [answer.mistake.name for answer in answers if not answer.right]
    told = [answer for answer in answers if answer.schema is not None]
    print(rates(answers))
    assert len(wrong) <= 0.05 * len(answers), wrong
    assert all(answer.plain for answer in answers)
    assert sum(bool(answer.schema) for answer in told) >= 0.95 * len(told)


def test_the_bank_is_large_and_each_mistake_is_one_of_its_own() -> None:
    assert len(BANK) >= 60
    assert len({mistake.name for mistake in BANK}) == len(BANK)
    assert sum(mistake.schema for mistake in BANK) >= 50


def test_some_mistakes_are_told_as_a_colleague_would(tmp_path: Path) -> None:
    _told(FEW, tmp_path)


@pytest.mark.nightly
def test_the_whole_bank_is_told_as_a_colleague_would(tmp_path: Path) -> None:
    _told(BANK, tmp_path)
