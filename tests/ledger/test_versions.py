"""Pages of the versions that were released: each as it was agreed to, and what is not in force says so unmistakably."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date

import pytest

from stepwell.publish.build import build_sheet
from stepwell.publish.canonical import content_bytes
from stepwell.publish.sheet import ReleaseMark, Sheet, StatusLine
from stepwell.publish.sheet_again import sheet_again
from stepwell.publish.shelf import KeptCard
from stepwell.render.site.versions import version_href, version_pages
from tests import demo

DAY = date(2026, 11, 25)


def sheets() -> list[Sheet]:
    unit = demo.workspace()
    return [build_sheet(unit, procedure, None, DAY) for procedure in unit.procedures]


@pytest.mark.parametrize("sheet", sheets(), ids=lambda sheet: sheet.id)
def test_a_sheet_comes_back_from_the_bytes_that_are_kept(sheet: Sheet) -> None:
    again = sheet_again(json.loads(content_bytes(sheet)))
    assert again is not None
    bare = {"hash": "", "as_of": DAY, "rig": replace(sheet.rig, inspected=None), "release": None}
    status = StatusLine(draft=True, reasons=())
    assert replace(again, status=status, as_of=DAY) == replace(sheet, status=status, **bare)  # type: ignore[arg-type]


def test_what_this_tool_does_not_know_is_no_sheet() -> None:
    plain = json.loads(content_bytes(sheets()[0]))
    for wrong in (None, [], {}, {"is": "sheet"}, {**plain, "more": 1}, {**plain, "title": ""} | {"is": "poem"}):
        assert sheet_again(wrong) is None


def test_fields_that_a_later_tool_brings_leave_the_hash_of_what_says_the_same() -> None:
    """At their default they are not in the bytes; so a code on a wall stays the code of that card."""
    sheet = sheets()[0]
    assert b'"optional":false' not in content_bytes(sheet)
    assert b'"why":[]' not in content_bytes(sheet)
    released = replace(sheet, release=ReleaseMark(approved=DAY, effective=DAY), as_of=date(2030, 1, 1))
    assert content_bytes(released) == content_bytes(sheet)


def test_the_bytes_are_canonical_by_the_standard_and_in_one_form_of_unicode() -> None:
    from stepwell.ledger.canonical import canonical

    for sheet in sheets():
        assert canonical(json.loads(content_bytes(sheet))) == content_bytes(sheet)
    composed, apart = (replace(sheets()[0], title=title) for title in ("Fl\u00e4che", "Fla\u0308che"))
    assert content_bytes(composed) == content_bytes(apart)


def card(state: str, **more: object) -> KeptCard:
    return KeptCard(sheet=sheets()[0], state=state, in_force=state == "in force", effective=DAY, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("kept", "trouble", "said"),
    [
        (card("superseded", now="2.0.0"), False, "SUPERSEDED. DO NOT USE. Take every copy down. In force is version 2.0.0."),
        (card("withdrawn", reason="A wrong <hose>."), False, "WITHDRAWN. DO NOT USE. Take every copy down. Reason: A wrong"),
        (card("not yet in force"), False, "NOT YET IN FORCE. It counts from 2026-11-25."),
        (card("disputed"), False, "DISPUTED. DO NOT USE."),
        (card("in force"), True, "CANNOT TELL WHETHER THIS IS IN FORCE."),
    ],
)
def test_what_is_not_in_force_says_so_first(kept: KeptCard, trouble: bool, said: str) -> None:
    pages = version_pages([kept], DAY, trouble)
    page = pages[version_href(kept)]
    body = page.partition("<body>")[2]
    assert body.lstrip().startswith('<p class="banner bad"')
    assert said in body[:400]
    assert "<title>NOT IN FORCE: " in page
    assert "<hose>" not in page
    assert "<script" not in page
    index = next(text for path, text in pages.items() if path.endswith("/v/index.html"))
    assert said[:30] in index


def test_the_version_in_force_does_not_call_itself_old() -> None:
    kept = card("in force")
    page = version_pages([kept], DAY, False)[version_href(kept)]
    assert "NOT IN FORCE" not in page
    assert "In force since 2026-11-25" in page
