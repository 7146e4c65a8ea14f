"""The table of predictions is well formed. What it predicts was written before the rules that judge it."""

from __future__ import annotations

import re

from tests.report.predicted.table import SORTS, WORDS, rows


def test_the_table_is_well_formed() -> None:
    assert len(rows()) >= 75
    names = [(row.procedure, row.what) for row in rows()]
    assert len(names) == len(set(names))
    for row in rows():
        assert row.sort in SORTS
        assert row.change
        for word, values in row.change:
            assert len(values) == WORDS[word], (row.what, word)
        assert all(re.fullmatch(r"[a-z][a-z0-9]*(-[a-z0-9]+)*", name) for name in row.found)
        # A hazard names its trap, what is no hazard says why; only what is redundant may find nothing.
        assert (row.trap is not None) is (row.sort == "hazard"), row.what
        assert (row.why is not None) is (row.sort != "hazard"), row.what
        assert row.found or row.sort == "redundant", row.what
