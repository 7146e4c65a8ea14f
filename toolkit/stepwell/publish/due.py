"""What is due, and when: reviews of cards, inspections of sets, waivers that run out, this copy itself."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from stepwell.model.workspace import Workspace
from stepwell.publish.shelf import Shelf


class Sort(StrEnum):
    """What sort of thing is due."""

    REVIEW = "review"
    INSPECTION = "inspection"
    WAIVER = "waiver"
    COPY = "copy"


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """One thing that is due. ``key`` stays the same from build to build, whatever the ``day``; ``day`` is the last day on
    which it is in order, None where nobody has set one. ``procedure`` is what a page may link to, or empty."""

    sort: Sort
    key: str
    day: date | None
    title: str
    why: str
    procedure: str = ""

    def late(self, as_of: date) -> bool:
        """True if the last day is over."""
        return self.day is not None and as_of > self.day


def due_of(workspace: Workspace, shelf: Shelf, as_of: date) -> tuple[Due, ...]:
    """Everything that is due: with a day first, the earliest first, then what has none."""
    found = (*_reviews(workspace, shelf), *_inspections(workspace), *_waivers(workspace), _copy(shelf, as_of))
    return tuple(sorted(found, key=lambda due: (due.day is None, due.day or date.max, due.sort, due.key)))


def _reviews(workspace: Workspace, shelf: Shelf) -> Iterator[Due]:
    for procedure in workspace.procedures:
        card = shelf.card(procedure.id)
        told = "No card of it is in force" if not card.version else f"Version {card.version} is in force"
        if card.withdrawn:
            told = "Its card was withdrawn"
        elif card.version and card.review is None:
            told += ", with no day for its review"
        yield Due(
            sort=Sort.REVIEW,
            key=procedure.id,
            day=card.review if card.version else None,
            title=procedure.title,
            why=told,
            procedure=procedure.id,
        )


def _inspections(workspace: Workspace) -> Iterator[Due]:
    review = workspace.unit.review
    for rig in workspace.rigs:
        day = months_later(rig.inspected, review.review_after) if rig.inspected and review else None
        if rig.inspected is None:
            told = "Never inspected at a real set; every verdict about it rests on its file alone"
        else:
            told = f"Inspected {rig.inspected.isoformat()}"
            told += f"; every {review.review_after} months, as cards are reviewed" if review else ", and no interval is set"
        yield Due(sort=Sort.INSPECTION, key=rig.id, day=day, title=rig.title, why=told)


def _waivers(workspace: Workspace) -> Iterator[Due]:
    titles: Mapping[str, str] = {procedure.id: procedure.title for procedure in workspace.procedures}
    rules = {rule.name: rule.title for rule in workspace.rules}
    for waiver in workspace.waivers:
        at = f" at step {waiver.step}" if waiver.step else ""
        yield Due(
            sort=Sort.WAIVER,
            key=".".join(filter(None, (waiver.procedure, waiver.rule, waiver.step))),
            day=waiver.until,
            title=titles.get(waiver.procedure, waiver.procedure),
            why=f"Waived by {waiver.by}{at}: {rules.get(waiver.rule, waiver.rule)}. {waiver.reason}",
            procedure=waiver.procedure if waiver.procedure in titles else "",
        )


def _copy(shelf: Shelf, as_of: date) -> Due:
    day = as_of + timedelta(days=shelf.copy_limit)
    return Due(
        sort=Sort.COPY, key="site", day=day, title="This copy", why=f"A copy may be trusted for {shelf.copy_limit} days"
    )


def months_later(start: date, months: int) -> date:
    """The same day so many months later; the last day of the month where it has no such day."""
    year, month = divmod(start.month - 1 + months, 12)
    year, month = start.year + year, month + 1
    return date(year, month, min(start.day, monthrange(year, month)[1]))
