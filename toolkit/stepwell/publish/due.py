"""What is due, and when: reviews of cards, inspections of sets, waivers that run out, this copy itself."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from functools import partial

from stepwell.model.language import ENGLISH, Language
from stepwell.model.workspace import Workspace
from stepwell.publish.numbering import marks_of
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
    reason: str = ""
    """What more there is to it, in English as the unit wrote it."""
    procedure: str = ""

    @property
    def told(self) -> str:
        """Why it is due and what more there is to it, as one text."""
        return f"{self.why}: {self.reason}" if self.reason else self.why

    def late(self, as_of: date) -> bool:
        """True if the last day is over."""
        return self.day is not None and as_of > self.day


def due_of(workspace: Workspace, shelf: Shelf, as_of: date, language: Language = ENGLISH) -> tuple[Due, ...]:
    """Everything that is due: with a day first, the earliest first, then what has none.

    The workspace is in the language; why a waiver was given stands there as the unit wrote it.
    """
    found = (
        *_reviews(workspace, shelf, language),
        *_inspections(workspace, language),
        *_waivers(workspace, language),
        _copy(shelf, as_of, language),
    )
    return tuple(sorted(found, key=lambda due: (due.day is None, due.day or date.max, due.sort, due.key)))


def _reviews(workspace: Workspace, shelf: Shelf, language: Language) -> Iterator[Due]:
    say = partial(language.say, "site")
    for procedure in workspace.procedures:
        card = shelf.card(procedure.id)
        if card.withdrawn:
            told = say("Its card was withdrawn")
        elif not card.version:
            told = say("No card of it is in force")
        elif card.review is None:
            told = say("Version {version} is in force, with no day for its review", version=card.version)
        else:
            told = say("Version {version} is in force", version=card.version)
        yield Due(
            sort=Sort.REVIEW,
            key=procedure.id,
            day=card.review if card.version else None,
            title=procedure.title,
            why=told,
            procedure=procedure.id,
        )


def _inspections(workspace: Workspace, language: Language) -> Iterator[Due]:
    review, say = workspace.unit.review, partial(language.say, "site")
    for rig in workspace.rigs:
        day = months_later(rig.inspected, review.review_after) if rig.inspected and review else None
        if rig.inspected is None:
            told = say("Never inspected at a real set; every verdict about it rests on its file alone")
        elif review:
            told = say(
                "Inspected {day}; every {count} months, as cards are reviewed",
                day=language.day(rig.inspected),
                count=str(review.review_after),
            )
        else:
            told = say("Inspected {day}, and no interval is set", day=language.day(rig.inspected))
        yield Due(sort=Sort.INSPECTION, key=rig.id, day=day, title=rig.title, why=told)


def _waivers(workspace: Workspace, language: Language) -> Iterator[Due]:
    titles: Mapping[str, str] = {procedure.id: procedure.title for procedure in workspace.procedures}
    rules = {rule.name: rule.title for rule in workspace.rules}
    labels = {role.id: role.label for role in workspace.unit.roles}
    marks = {procedure.id: marks_of(procedure.body) for procedure in workspace.procedures}
    for waiver in workspace.waivers:
        who = labels.get(waiver.by, waiver.by)
        told = language.say("site", "Waived by {who}", who=who)
        if waiver.step:
            mark = marks.get(waiver.procedure, {}).get(waiver.step, waiver.step)
            told = language.say("site", "Waived by {who} at step {step}", who=who, step=mark)
        yield Due(
            sort=Sort.WAIVER,
            key=".".join(filter(None, (waiver.procedure, waiver.rule, waiver.step))),
            day=waiver.until,
            title=titles.get(waiver.procedure, waiver.procedure),
            why=told,
            reason=f"{rules.get(waiver.rule, waiver.rule)}. {waiver.reason}",
            procedure=waiver.procedure if waiver.procedure in titles else "",
        )


def _copy(shelf: Shelf, as_of: date, language: Language) -> Due:
    day, say = as_of + timedelta(days=shelf.copy_limit), partial(language.say, "site")
    why = say("A copy may be trusted for {days} days", days=str(shelf.copy_limit))
    return Due(sort=Sort.COPY, key="site", day=day, title=say("This copy"), why=why)


def months_later(start: date, months: int) -> date:
    """The same day so many months later; the last day of the month where it has no such day."""
    year, month = divmod(start.month - 1 + months, 12)
    year, month = start.year + year, month + 1
    return date(year, month, min(start.day, monthrange(year, month)[1]))
