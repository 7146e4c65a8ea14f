"""The corpus: what is found is what the people who wrote the changes say, no more and no less, weakenings included."""

from __future__ import annotations

import shutil
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from stepwell.compare.between import Between, edits_between
from stepwell.model.workspace import Workspace
from tests.compare.cases import UNIT, Case, cases, read, write_after
from tests.compare.score import compare_lists, named, wanted


@cache
def before() -> Workspace:
    with TemporaryDirectory() as folder:
        shutil.copytree(UNIT, Path(folder) / "unit")
        return read(Path(folder) / "unit")


def compared(case: Case, folder: Path) -> Between:
    return edits_between(before(), read(write_after(case, folder / "after")))


@pytest.mark.parametrize("case", cases(), ids=lambda case: case.name)
def test_the_edits_are_those_that_were_made(case: Case, tmp_path: Path) -> None:
    found = compared(case, tmp_path)
    new_ids = case.ids == "new"
    wants, gots = [wanted(line) for line in case.edits], [named(edit, new_ids) for edit in found.edits]
    _, missing, extra = compare_lists(wants, gots, reminted=new_ids)
    assert (missing, extra) == ([], []), [(edit.sort.value, edit.item, edit.field, edit.weaker) for edit in found.edits]
    assert found.undisclosed == ()
