"""The corpus itself: enough cases, each readable, each a change, each expecting something."""

from __future__ import annotations

import shutil
from collections import Counter
from pathlib import Path

import pytest

from tests.compare.cases import UNIT, Case, cases, read, write_after


def test_there_are_enough_cases_with_names_of_their_own() -> None:
    assert len(cases()) >= 60
    assert [name for name, number in Counter(case.name for case in cases()).items() if number > 1] == []


@pytest.mark.parametrize("case", cases(), ids=lambda case: case.name)
def test_a_case_is_a_readable_change(case: Case, tmp_path: Path) -> None:
    shutil.copytree(UNIT, tmp_path / "before")
    before, after = read(tmp_path / "before"), read(write_after(case, tmp_path / "after"))
    assert case.edits
    assert before.procedures != after.procedures or before.unit != after.unit or before != after
