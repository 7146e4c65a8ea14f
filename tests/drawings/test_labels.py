"""Labels beside a column keep their order, do not overlap, and stay level with what they are of."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stepwell.render.drawings.labels import GAP, LEVEL, Label, lacking, placed
from stepwell.render.drawings.pairing import Pair, Slot, paired


def test_a_label_with_room_is_in_the_middle_of_its_symbol() -> None:
    assert placed([Label(50.0, 50.0, 20.0)], 0.0, 200.0) == (40.0,)


def test_two_near_symbols_share_the_displacement() -> None:
    low, high = placed([Label(50.0, 50.0, 30.0), Label(76.0, 76.0, 30.0)], 0.0, 200.0)
    assert high - low == 30.0 + GAP
    assert 50.0 - (low + 15.0) == pytest.approx((high + 15.0) - 76.0)


def test_what_has_no_place_is_told_with_what_it_lacks() -> None:
    labels = [Label(50.0, 50.0, 60.0), Label(55.0, 55.0, 60.0)]
    found = lacking(labels, 0.0, 200.0)
    assert found is not None
    at, more = found
    assert at == 1
    raised = Label(55.0 + more, 55.0 + more, 60.0)
    assert lacking([labels[0], raised], 0.0, 200.0) is None


@settings(max_examples=200, deadline=None)
@given(st.lists(st.tuples(st.floats(0.0, 40.0), st.sampled_from([18.5, 37.0, 55.5, 74.0])), min_size=1, max_size=8))
def test_placed_labels_hold_every_rule(steps: list[tuple[float, float]]) -> None:
    labels, at = [], 20.0
    for step, high in steps:
        at += step + 12.0
        labels.append(Label(at, at, high))
    floor, ceiling = 0.0, at + 40.0
    if lacking(labels, floor, ceiling) is not None:
        return
    found = placed(labels, floor, ceiling)
    for label, begins in zip(labels, found, strict=True):
        assert floor - 0.01 <= begins
        assert begins + label.high <= ceiling + 0.01
        assert begins <= label.top - min(LEVEL, label.high / 2) + 0.01
        assert begins + label.high >= label.low + min(LEVEL, label.high / 2) - 0.01
    for label, low, high in zip(labels, found, found[1:], strict=False):
        assert high >= low + label.high + GAP - 0.01


class Heights:
    """Every row is 20 high, one with a branch 50."""

    def takes(self, slot: Slot) -> float:
        return 20.0 if slot.branch is None else 50.0

    def stiff(self, slot: Slot) -> float:
        return 0.0 if slot.part == "limb" else 1.0


def names(rows: list[Pair]) -> list[tuple[str, str]]:
    return [("" if left is None else left.part, "" if right is None else right.part) for left, right in rows]


def test_two_branches_never_share_a_row_and_the_tops_are_level() -> None:
    left = [Slot("tap", ["a"]), Slot("limb"), Slot("end")]
    right = [Slot("port", ["b"]), Slot("body"), Slot("clamp"), Slot("top")]
    rows = paired((left, right), Heights())
    assert all(one is None or other is None or not (one.branch and other.branch) for one, other in rows)
    assert [one for one, _ in names(rows) if one] == ["tap", "limb", "end"]
    assert [one for _, one in names(rows) if one] == ["port", "body", "clamp", "top"]
    assert names(rows)[-1] == ("end", "top")
    high = sum(max(0.0 if one is None else Heights().takes(one) for one in row) for row in rows)
    assert high == 50.0 + 50.0 + 20.0 + 20.0


def test_one_column_alone_is_a_row_each() -> None:
    assert names(paired(([Slot("a"), Slot("b")], []), Heights())) == [("a", ""), ("b", "")]
    assert paired(([], []), Heights()) == []
