"""What is due, and the calendar file, which a library for such files reads a second time."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import icalendar
import pytest

from stepwell.model.review import ReviewPolicy
from stepwell.model.waiver import Waiver
from stepwell.model.workspace import Workspace
from stepwell.publish.calendar_file import calendar_file
from stepwell.publish.due import Due, Sort, due_of, months_later
from stepwell.publish.shelf import NOTHING_RELEASED, OldCard, Shelf, ShelfCard
from tests.site.unit import AIR, AS_OF, PRIME, RIG, WORKSPACE

REVIEWED = replace(WORKSPACE.unit, review=ReviewPolicy(signers=(), quorums=(), review_after=6))
WAIVER = Waiver(
    rule="vent-left-open", procedure=PRIME.id, reason="No vent.", by="the lead", until=date(2026, 11, 23), step="k7f3"
)
SPACE: Workspace = replace(WORKSPACE, unit=REVIEWED, waivers=(WAIVER,))
SHELF = Shelf(
    cards=(
        ShelfCard(procedure=PRIME.id, version="1.2.0", code="0123456789ab", review=date(2027, 3, 1)),
        ShelfCard(procedure=AIR.id, old=(OldCard(version="0.9.0", code="b" * 12, state="withdrawn"),), withdrawn="wrong"),
    ),
    copy_limit=14,
)


def of(sort: Sort, key: str, *, shelf: Shelf = SHELF, space: Workspace = SPACE) -> Due:
    return next(due for due in due_of(space, shelf, AS_OF) if due.sort is sort and due.key == key)


def test_days_come_first_and_the_earliest_of_them() -> None:
    days = [due.day for due in due_of(SPACE, SHELF, AS_OF)]
    known = [day for day in days if day]
    assert known == sorted(known)
    assert days[: len(known)] == known
    assert len(days) == len(SPACE.procedures) + len(SPACE.rigs) + 1 + 1


def test_a_card_in_force_is_due_for_its_review_and_no_other_card_is() -> None:
    assert of(Sort.REVIEW, PRIME.id).day == date(2027, 3, 1)
    withdrawn, never = of(Sort.REVIEW, AIR.id), of(Sort.REVIEW, "shift-check")
    assert (withdrawn.day, withdrawn.why) == (None, "Its card was withdrawn")
    assert (never.day, never.why) == (None, "No card of it is in force")
    undated = Shelf(cards=(replace(SHELF.cards[0], review=None),))
    assert of(Sort.REVIEW, PRIME.id, shelf=undated).why == "Version 1.2.0 is in force, with no day for its review"


def test_a_set_is_due_for_inspection_by_the_interval_of_the_unit() -> None:
    due = of(Sort.INSPECTION, RIG.id)
    assert due.day == date(2027, 4, 1)
    assert due.why == "Inspected 2026-10-01; every 6 months, as cards are reviewed"
    assert of(Sort.INSPECTION, RIG.id, space=WORKSPACE).day is None, "no interval is set"
    never = replace(SPACE, rigs=(replace(RIG, inspected=None),))
    assert of(Sort.INSPECTION, RIG.id, space=never).day is None


def test_a_waiver_is_overdue_the_day_after_its_last() -> None:
    due = of(Sort.WAIVER, f"{PRIME.id}.vent-left-open.k7f3")
    assert due.late(AS_OF)
    assert not due.late(WAIVER.until)
    assert due.told == "Waived by the lead at step 1: The vent is left open. No vent."


def test_the_copy_itself_runs_out() -> None:
    assert of(Sort.COPY, "site").day == AS_OF + timedelta(days=14)


@pytest.mark.parametrize(
    ("start", "months", "then"),
    [
        (date(2026, 1, 31), 1, date(2026, 2, 28)),
        (date(2027, 12, 5), 2, date(2028, 2, 5)),
        (date(2026, 3, 1), 12, date(2027, 3, 1)),
    ],
)
def test_months_later(start: date, months: int, then: date) -> None:
    assert months_later(start, months) == then


def events(data: bytes) -> list[icalendar.Event]:
    calendar = icalendar.Calendar.from_ical(data)
    assert calendar["VERSION"] == "2.0"
    assert calendar.errors == []
    return list(calendar.walk("VEVENT"))


def made(space: Workspace = SPACE, shelf: Shelf = SHELF, as_of: date = AS_OF) -> bytes:
    return calendar_file(space.unit.name, ((due, due.title) for due in due_of(space, shelf, as_of)), as_of, "1.0")


def test_the_calendar_holds_each_day_as_another_reader_sees_it() -> None:
    read = [(event["DTSTART"].dt, str(event["SUMMARY"]), str(event["DESCRIPTION"])) for event in events(made())]
    assert read == [(due.day, due.title, due.told) for due in due_of(SPACE, SHELF, AS_OF) if due.day]
    assert all(event["DTEND"].dt - event["DTSTART"].dt == timedelta(days=1) for event in events(made()))
    assert events(made(WORKSPACE, NOTHING_RELEASED))[0]["DTSTAMP"].dt.date() == AS_OF


def test_names_of_entries_stay_when_days_move_and_differ_from_unit_to_unit() -> None:
    names = {str(event["CATEGORIES"].to_ical()): event["UID"] for event in events(made())}
    later = replace(SHELF, cards=(replace(SHELF.cards[0], review=date(2028, 1, 1)), *SHELF.cards[1:]))
    assert names == {
        str(event["CATEGORIES"].to_ical()): event["UID"] for event in events(made(shelf=later, as_of=date(2026, 12, 1)))
    }
    assert len(set(names.values())) == len(events(made()))
    other = replace(SPACE, unit=replace(SPACE.unit, name="Another unit"))
    assert not set(names.values()) & {event["UID"] for event in events(made(other))}


HARD = "Clamps; tubes, \\ and “ä” — " + "ж" * 70 + "\nsecond line\r\nthird\x07 END:VCALENDAR"


def test_hard_words_come_back_whole_in_lines_that_are_short_enough() -> None:
    due = Due(sort=Sort.REVIEW, key="a", day=AS_OF, title=HARD, why=HARD)
    data = calendar_file("Unit", [(due, HARD)], AS_OF, "1.0")
    (event,) = events(data)
    assert str(event["SUMMARY"]) == HARD.replace("\r\n", "\n").replace("\x07", "")
    assert data.endswith(b"END:VCALENDAR\r\n")
    assert data.count(b"BEGIN:VEVENT") == 1
    for line in data.split(b"\r\n"):
        assert len(line) <= 75
        line.decode()
        assert b"\n" not in line


def test_the_same_input_gives_the_same_bytes() -> None:
    assert made() == made()
