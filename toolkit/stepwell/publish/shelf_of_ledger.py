"""The shelf of cards as the ledger has it. Apart from the shelf itself, which pages can be made from without a ledger."""

from __future__ import annotations

from collections.abc import Mapping

from stepwell.diagnostics.severity import Severity
from stepwell.ledger.standing import Release, ReleaseState, Standing
from stepwell.model.unit import Unit
from stepwell.publish.bound import SAME_MEANING
from stepwell.publish.sheet import ReleaseMark
from stepwell.publish.shelf import COPY_LIMIT_DAYS, OldCard, Shelf, ShelfCard

_WORDS = {
    ReleaseState.SUPERSEDED: "superseded",
    ReleaseState.WITHDRAWN: "withdrawn",
    ReleaseState.TO_COME: "not yet in force",
}


def shelf_of(today: Standing, unit: Unit, now: Mapping[str, Mapping[str, str]]) -> Shelf:
    """The shelf on a day. ``now`` are the bound parts of each procedure as it stands in the folder.

    Anything that is wrong with the ledger is trouble, even what is about another procedure: who alters one entry may
    have taken another away.
    """
    policy = today.policy or unit.review
    subjects = dict.fromkeys(release.subject for release in today.releases)
    return Shelf(
        cards=tuple(_card(subject, today, now.get(subject, {})) for subject in subjects),
        trouble=any(problem.fault.severity > Severity.MINOR for problem in today.problems),
        copy_limit=policy.copy_valid if policy is not None else COPY_LIMIT_DAYS,
    )


def _card(subject: str, today: Standing, now: Mapping[str, str]) -> ShelfCard:
    current, newest = today.in_force(subject), today.newest(subject)
    return ShelfCard(
        procedure=subject,
        version=current.version if current else "",
        code=_code(current) if current else "",
        review=current.review if current else None,
        mark=_mark(current) if current and all(now.get(name) == current.part(name) for name in SAME_MEANING) else None,
        old=tuple(
            OldCard(version=release.version, code=_code(release), state=_WORDS[release.state])
            for release in today.of(subject)
            if release.state in _WORDS
        ),
        withdrawn=newest.withdrawn if newest and newest.state is ReleaseState.WITHDRAWN else "",
    )


def _code(release: Release) -> str:
    return release.part("text")[:12]


def _mark(release: Release) -> ReleaseMark:
    return ReleaseMark(approved=release.approved, effective=release.effective, review=release.review)
