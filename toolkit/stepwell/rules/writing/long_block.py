"""Five to nine lines between pauses."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.model.procedure import AnyOrder, Body, Lanes, Stage, Step
from stepwell.rules.writing.page import Page, Seen, WritingRule

MOST = 9


def look(page: Page) -> Iterator[Seen]:
    """Runs of more than nine lines without a heading, a hold or a question."""
    yield from _body(page.procedure.body)


def _body(body: Body) -> Iterator[Seen]:
    row: list[Step] = []
    for item in (*body, None):
        if isinstance(item, Step):
            row.append(item)
            continue
        if len(row) > MOST:
            yield Seen(
                message=f"{len(row)} lines stand without a heading or a pause.",
                mend="Put a heading before this line, where the work itself has a pause.",
                step=row[MOST].id,
                span=row[MOST].span,
            )
        row = []
        match item:
            case Stage(body=inner) | AnyOrder(body=inner):
                yield from _body(inner)
            case Lanes(lanes=lanes):
                for lane in lanes:
                    yield from _body(lane.body)
            case _:
                pass


RULE = WritingRule(
    name="block-too-long",
    code="SW319",
    summary="More than nine lines stand in one block.",
    source="Gawande; Degani and Wiener 1990: five to nine items for each pause",
    mark="quoted by others",
    look=look,
)
