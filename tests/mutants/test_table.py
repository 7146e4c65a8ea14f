"""The table of mutants fits the engine as it is, the page speaks of all of them, and every one is noticed."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from tests.mutants.outcome import Tried, earlier, page
from tests.mutants.run import Bench, run
from tests.mutants.table import OUTCOME, ROOT, Mutant, mutants

EVERY = mutants()
COUNTED = tuple(one for one in EVERY if not one.equivalent)


def named(mutant: Mutant) -> str:
    return mutant.name


def test_there_are_enough_in_every_layer() -> None:
    assert len(COUNTED) >= 60
    assert len({one.name for one in EVERY}) == len(EVERY)
    assert {one.layer for one in EVERY} == {"orders", "circuit", "rules", "report", "slips"}


@pytest.mark.parametrize("mutant", EVERY, ids=named)
def test_what_is_replaced_stands_there_once_and_what_replaces_it_can_be_read(mutant: Mutant) -> None:
    source = mutant.source().read_text("utf-8")
    changed = mutant.put_into(source)
    assert ast.dump(ast.parse(changed)) != ast.dump(ast.parse(source))


@pytest.mark.parametrize("mutant", EVERY, ids=named)
def test_it_says_what_it_means_and_where_to_look(mutant: Mutant) -> None:
    assert mutant.means.endswith(".")
    assert mutant.noticed_by
    for tests in (*mutant.noticed_by, *mutant.elsewhere()):
        assert (ROOT / tests).exists()


def test_the_page_speaks_of_every_mutant_and_is_what_the_runner_writes() -> None:
    found = {one.name: one for one in earlier(OUTCOME)}
    assert found.keys() == {one.name for one in EVERY}
    assert page(EVERY, found) == OUTCOME.read_text("utf-8")


def test_all_but_those_that_change_nothing_were_noticed() -> None:
    unnoticed = {one.name for one in earlier(OUTCOME) if not one.by}
    assert unnoticed == {one.name for one in EVERY if one.equivalent}


def test_a_test_that_is_named_on_the_page_exists() -> None:
    for one in earlier(OUTCOME):
        file, _, test = one.by.partition(" ")[0].partition("::")
        if one.by:
            text = (ROOT / file).read_text("utf-8") if (ROOT / file).is_file() else ""
            assert not test or f"def {test.partition('[')[0]}(" in text, one


def test_a_page_is_read_back_as_it_was_written(tmp_path: Path) -> None:
    tried = {
        EVERY[0].name: Tried(name=EVERY[0].name, by="tests/a/test_b.py::test_c[d-1]", predicted=True, seconds=7),
        EVERY[1].name: Tried(name=EVERY[1].name, by="", predicted=False, seconds=90),
        EVERY[2].name: Tried(name=EVERY[2].name, by="tests/a (not done in time)", predicted=False, seconds=60),
    }
    written = page(EVERY, tried)
    assert "Of 3 mutants 2 were noticed: 1 by the very tests\nthat were predicted" in written
    (tmp_path / "outcome.md").write_text(written, "utf-8")
    assert {one.name: one for one in earlier(tmp_path / "outcome.md")} == tried


def test_the_runner_leaves_the_checkout_alone_and_sees_the_mutant(tmp_path: Path) -> None:
    """One quick mutant from end to end."""
    mutant = next(one for one in EVERY if one.file == "rules/shapes/never.py")
    before = mutant.source().read_bytes()
    bench = Bench(tmp_path)
    tried = bench.try_out(mutant, mutant.noticed_by)
    bench.confirm([tried])
    assert tried.by.startswith(mutant.noticed_by[0])
    assert tried.predicted
    assert mutant.source().read_bytes() == before


@pytest.mark.nightly
def test_every_mutant_is_noticed() -> None:
    unnoticed = {one.name for one in run(EVERY, lambda _: None) if not one.by}
    assert unnoticed == {one.name for one in EVERY if one.equivalent}
