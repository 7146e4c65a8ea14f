"""Reports that are kept: the same report back, and never one that is not exactly that of the question."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from stepwell.model.procedure import steps_of
from stepwell.model.workspace import Workspace
from stepwell.orders.search import Bounds
from stepwell.report.check import Options, check_workspace
from stepwell.report.keep import Keeper, narrowed, read, written
from stepwell.report.plain import plain, restored
from stepwell.report.results import CheckReport, ProcedureReport
from stepwell.slips.results import SlipReport
from tests.demo import checked, procedure, without_action, workspace

DAY = date(2026, 11, 25)
QUICK = Options(bites=False)


class Shelf:
    """A cache in memory that counts."""

    def __init__(self, salt: str = "tool 1") -> None:
        self.salt = salt
        self.texts: dict[str, str] = {}
        self.found = self.put_in = 0

    def get(self, key: str) -> str | None:
        self.found += key in self.texts
        return self.texts.get(key)

    def put(self, key: str, text: str) -> None:
        self.put_in += 1
        self.texts[key] = text


def check(shelf: Shelf, where: Workspace, as_of: date = DAY, options: Options = QUICK) -> CheckReport:
    return check_workspace(where, as_of=as_of, clock=time.monotonic, options=options, cache=shelf)


def small() -> Workspace:
    """Two quick procedures of the demo."""
    wanted = ("pump-stopped", "line-apart")
    return replace(workspace(), procedures=tuple(one for one in workspace().procedures if one.id in wanted))


def test_every_report_of_the_demo_comes_back_equal() -> None:
    broken = checked(without_action(procedure(), next(step.id for step in steps_of(procedure().body) if step.do), 0))
    assert broken.findings, "a report with traces is what is hard to restore"
    for report in (broken, *check(Shelf(), small()).procedures):
        again = restored(ProcedureReport, json.loads(json.dumps(plain(report))))
        assert again == report
        assert [v.milliseconds for v in again.verdicts] == [v.milliseconds for v in report.verdicts]
        assert again.findings == report.findings


def test_the_second_time_nothing_is_searched() -> None:
    shelf = Shelf()
    first = check(shelf, small())
    assert (shelf.found, shelf.put_in) == (0, 2)
    assert check(shelf, small()) == first
    assert (shelf.found, shelf.put_in) == (2, 2)


def changed_rule(where: Workspace) -> Workspace:
    rules = where.rules
    return replace(where, rules=(replace(rules[0], message=rules[0].message + "!"), *rules[1:]))


def changed_rig(where: Workspace) -> Workspace:
    names = {one.rig for one in where.procedures}
    return replace(where, rigs=tuple(replace(rig, title="other") if rig.id in names else rig for rig in where.rigs))


def changed_unit(where: Workspace) -> Workspace:
    return replace(where, unit=replace(where.unit, numbers=where.unit.numbers[1:]))


@pytest.mark.parametrize("change", [changed_rule, changed_rig, changed_unit])
def test_whatever_a_report_depends_on_makes_it_another_one(change: Callable[[Workspace], Workspace]) -> None:
    shelf = Shelf()
    check(shelf, small())
    assert change(small()) != small()
    check(shelf, change(small()))
    assert shelf.found == 0


def test_day_options_and_tool_make_it_another_one() -> None:
    shelf = Shelf()
    check(shelf, small())
    check(shelf, small(), as_of=date(2026, 11, 26))
    check(shelf, small(), options=Options(bites=False, bounds=Bounds(seconds=59)))
    other = Shelf(salt="tool 2")
    other.texts = shelf.texts
    check(other, small())
    assert (shelf.found, other.found) == (0, 0)


def test_another_procedure_does_not_matter_unless_it_comes_before() -> None:
    shelf = Shelf()
    where = small()
    check(shelf, where)
    touched = replace(where.procedures[0], title="Another title")
    check(shelf, replace(where, procedures=(touched, *where.procedures[1:])))
    assert (shelf.found, shelf.put_in) == (1, 3)
    one, two = where.procedures
    assert two.starts is not None
    follows = replace(two, rig=one.rig, starts=replace(two.starts, baseline=None, procedure=one.id))
    both = replace(where, procedures=(one, follows))
    assert narrowed(both, follows).procedures == (follows, one)
    later = replace(both, procedures=(replace(one, title="Another title"), follows))
    keeper = Keeper(shelf, DAY)
    assert keeper.key("check", narrowed(both, follows)) != keeper.key("check", narrowed(later, follows))


def test_a_place_that_moved_is_another_report() -> None:
    """Findings name lines, so a procedure that stands elsewhere in its file is not the same."""
    shelf = Shelf()
    one = small().procedures[0]
    assert one.path
    moved = replace(one, path="elsewhere.yaml")
    keeper = Keeper(shelf, DAY)
    assert keeper.key("check", narrowed(small(), one)) != keeper.key("check", narrowed(small(), moved))


def test_what_was_cut_short_is_not_kept() -> None:
    shelf = Shelf()
    report = check(shelf, small(), options=Options(bites=False, bounds=Bounds(states=2)))
    assert report.undecided
    assert shelf.put_in == 0


def test_a_damaged_or_foreign_entry_is_as_if_it_were_not_there() -> None:
    shelf = Shelf()
    first = check(shelf, small())
    key, text = next(iter(shelf.texts.items()))
    report = read(ProcedureReport, key, text)
    assert report in first.procedures
    assert report is not None
    for at in range(0, len(text), max(1, len(text) // 200)):
        damaged = text[:at] + chr(ord(text[at]) ^ 1) + text[at + 1 :]
        assert read(ProcedureReport, key, damaged) in (None, report)
        assert read(ProcedureReport, key, text[:at]) is None
    assert read(ProcedureReport, "0" * 64, text) is None
    assert read(SlipReport, key, text) is None
    entry = json.loads(written(key, report))
    for field, wrong in (("format", "other 1"), ("key", "0" * 64), ("sha256", "0" * 64), ("report", 7), ("report", "[]")):
        assert read(ProcedureReport, key, json.dumps({**entry, field: wrong})) is None
    for strange in ("", "[]", "null", "{}", "7", "[" * 100_000):
        assert read(ProcedureReport, key, strange) is None
    shelf.texts[key] = "damaged"
    assert check(shelf, small()) == first
    assert read(ProcedureReport, key, shelf.texts[key]) == report, "a damaged entry is replaced"


def test_a_report_whose_types_are_wrong_is_not_read_back() -> None:
    data = plain(check(Shelf(), small()).procedures[0])
    assert isinstance(data, list)
    for index in range(len(data)):
        for wrong in (7.5, ["Procedure"], {"a": 1}, "x" if not isinstance(data[index], str) else 3):
            if index in (1, 2) and isinstance(wrong, str):
                continue
            with pytest.raises(ValueError, match=r".*"):
                restored(ProcedureReport, [*data[:index], wrong, *data[index + 1 :]])
