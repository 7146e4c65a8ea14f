"""A meeting on the card and in the sheet: who waits for whom, in each lane that comes to it."""

from __future__ import annotations

from dataclasses import replace

from stepwell.model.procedure import Item, Lanes, Meet, Procedure
from stepwell.publish.sheet import LanesBlock, MeetLine
from tests.cards.made import card_of, page_texts, sheet_of
from tests.publish.bench import routine

NAME = "Dry checks done"


def meeting(procedure: Procedure) -> Procedure:
    """The procedure with a meeting at the end of every lane of its first lanes."""
    body: list[Item] = []
    done = False
    for item in procedure.body:
        if isinstance(item, Lanes) and not done:
            lanes = tuple(replace(lane, body=(*lane.body, Meet(name=NAME))) for lane in item.lanes)
            body.append(replace(item, lanes=lanes))
            done = True
        else:
            body.append(item)
    assert done
    return replace(procedure, body=tuple(body))


def test_each_lane_is_told_whom_to_wait_for() -> None:
    sheet = sheet_of(meeting(routine()))
    block = next(item for item in sheet.items if isinstance(item, LanesBlock))
    lines = [lane.items[-1] for lane in block.lanes]
    for lane, line in zip(block.lanes, lines, strict=True):
        assert isinstance(line, MeetLine)
        assert line.name == NAME
        assert line.roles == tuple(other.role for other in block.lanes if other is not lane)
    assert len({line.id for line in lines if isinstance(line, MeetLine)}) == len(lines)


def test_building_twice_gives_the_same_sheet() -> None:
    assert sheet_of(meeting(routine())) == sheet_of(meeting(routine()))
    assert sheet_of(meeting(routine())).hash != sheet_of(routine()).hash


def test_the_card_says_so() -> None:
    card = card_of(meeting(routine()))
    text = " ".join(page_texts(card.pdf))
    block = next(item for item in sheet_of(routine()).items if isinstance(item, LanesBlock))
    assert text.count("Wait here for") == len(block.lanes)
    # The lanes stand side by side, so a line of the page is not one line of the card.
    assert all(word in text for word in NAME.split())
    assert [finding.rule for finding in card.findings] == [finding.rule for finding in card_of(routine()).findings]
