"""A straight way through an emergency."""

from __future__ import annotations

from collections.abc import Iterator

from stepwell.model.procedure import AnyOrder, Body, Choose, Lanes, Repeat, Stage
from stepwell.rules.writing.page import Page, Seen, WritingRule

DEPTH, COUNT = 1, 2


def look(page: Page) -> Iterator[Seen]:
    """Emergency cards with more than two questions, or with a question inside another."""
    if not page.emergency:
        return
    found = list(_questions(page.procedure.body, 1))
    for question, depth in found:
        if depth > DEPTH:
            yield Seen(
                message="A question stands inside the answer to another; the reader loses the way back.",
                mend="Make a card of its own for that answer.",
                step=question.id,
                span=question.span,
            )
    if len(found) > COUNT:
        yield Seen(
            message=f"The card asks {len(found)} questions; more than {COUNT} are not kept apart in an emergency.",
            mend="Part the card, or decide before it is taken (use-when).",
            step=found[COUNT][0].id,
            span=found[COUNT][0].span,
        )


def _questions(body: Body, depth: int) -> Iterator[tuple[Choose, int]]:
    for item in body:
        match item:
            case Choose(outcomes=outcomes):
                yield item, depth
                for outcome in outcomes:
                    yield from _questions(outcome.body, depth + 1)
            case Stage(body=inner) | AnyOrder(body=inner) | Repeat(body=inner):
                yield from _questions(inner, depth)
            case Lanes(lanes=lanes):
                for lane in lanes:
                    yield from _questions(lane.body, depth)
            case _:
                pass


RULE = WritingRule(
    name="too-many-branches",
    code="SW317",
    summary="An emergency card branches more than once in depth or more than twice in all.",
    source="Marshall 2016 (24 teams); the thresholds are of this house",
    mark="abstract; threshold of this house",
    look=look,
)
