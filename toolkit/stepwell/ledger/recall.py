"""Which old cards still hang where, and what is due."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from stepwell.ledger.problems import RECALL_OPEN, REVIEW_OVERDUE, Problem
from stepwell.ledger.standing import Release, ReleaseState, Standing
from stepwell.model.review import Place

GONE = (ReleaseState.SUPERSEDED, ReleaseState.WITHDRAWN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Errand:
    """One card at one place: take the old one down; hang ``new``, if there is one."""

    place: Place
    old: Release
    new: Release | None

    @property
    def old_named(self) -> str:
        """The version to take down, with its languages where there is more than English."""
        return named(self.old)

    @property
    def new_named(self) -> str:
        """The version to hang, with its languages where the old one or this has more than English; empty if none."""
        return "" if self.new is None else named(self.new, told=bool(self.old.prints))


def named(release: Release, *, told: bool = False) -> str:
    """``1.0.0``, or ``1.0.0 (en, de)``: what to look for where it hangs. ``told``: its languages in any case."""
    return f"{release.version} ({', '.join(release.languages)})" if told or release.prints else release.version


def errands(standing: Standing, places: tuple[Place, ...]) -> tuple[Errand, ...]:
    """What is to be taken down, place by place, and was not yet reported as done."""
    done = set(standing.taken_down)
    return tuple(
        Errand(place=place, old=old, new=standing.in_force(old.subject))
        for place in places
        for old in standing.releases
        if old.subject in place.cards and old.state in GONE and (old.subject, old.entry, place.id) not in done
    )


def due_problems(standing: Standing, places: tuple[Place, ...], as_of: date) -> tuple[Problem, ...]:
    """Cards that should not hang any more, and reviews that are overdue."""
    found: list[Problem] = [
        RECALL_OPEN.at(errand.old.subject, f"{_hanging(errand)} at {errand.place.label}.", errand.old.subject)
        for errand in errands(standing, places)
    ]
    for release in standing.releases:
        if release.state is ReleaseState.IN_FORCE and release.review is not None and release.review < as_of:
            told = f"Version {release.version} was due on {release.review.isoformat()}."
            found.append(REVIEW_OVERDUE.at(release.subject, told, release.subject))
    return tuple(found)


def _hanging(errand: Errand) -> str:
    since = f" since {errand.new.effective.isoformat()}" if errand.new else ""
    languages = f", in {' and '.join(errand.old.languages)}" if errand.old.prints else ""
    return f"{errand.old.version} ({errand.old.state}{since}{languages})"
