"""The shelf of cards as the ledger has it. Apart from the shelf itself, which pages can be made from without a ledger."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from stepwell.diagnostics.severity import Severity
from stepwell.ledger.standing import Release, ReleaseState, Standing
from stepwell.model.unit import Unit
from stepwell.publish.bound import SAME_MEANING, Bound
from stepwell.publish.sheet import ReleaseMark
from stepwell.publish.shelf import COPY_LIMIT_DAYS, OldCard, OtherCard, Shelf, ShelfCard, WhyDraft

_WORDS = {
    ReleaseState.SUPERSEDED: "superseded",
    ReleaseState.WITHDRAWN: "withdrawn",
    ReleaseState.TO_COME: "not yet in force",
}


def shelf_of(
    today: Standing, unit: Unit, now: Mapping[str, Bound], lost: Collection[tuple[str, str]] = frozenset()
) -> Shelf:
    """The shelf on a day. ``now`` is what each procedure as it stands in the folder is bound to; ``lost`` are the cards
    (entry of the release, language) whose bytes were not kept as they were released.

    Anything that is wrong with the ledger is trouble, even what is about another procedure: who alters one entry may
    have taken another away. Then no page is released.
    """
    policy = today.policy or unit.review
    subjects = dict.fromkeys(release.subject for release in today.releases)
    trouble = any(problem.fault.severity > Severity.MINOR for problem in today.problems)
    return Shelf(
        cards=tuple(_card(subject, today, now.get(subject), lost, trouble) for subject in subjects),
        trouble=trouble,
        copy_limit=policy.copy_valid if policy is not None else COPY_LIMIT_DAYS,
    )


def _card(subject: str, today: Standing, now: Bound | None, lost: Collection[tuple[str, str]], trouble: bool) -> ShelfCard:
    current, newest = today.in_force(subject), today.newest(subject)
    gone = newest is not None and newest.state is ReleaseState.WITHDRAWN

    def why(language: str) -> WhyDraft:
        if trouble:
            return WhyDraft.TROUBLE
        if current is None:
            return WhyDraft.WITHDRAWN if gone else WhyDraft.NONE
        if now is None or not _same(current, now, language):
            return WhyDraft.CHANGED
        return WhyDraft.NOT_KEPT if (current.entry, language) in lost else WhyDraft.NONE

    def mark(language: str) -> ReleaseMark | None:
        return _mark(current) if current is not None and why(language) is WhyDraft.NONE else None

    return ShelfCard(
        procedure=subject,
        version=current.version if current else "",
        code=_code(current) if current else "",
        review=current.review if current else None,
        mark=mark("en"),
        why=why("en"),
        old=tuple(
            OldCard(version=release.version, code=_code(release, language), state=_WORDS[release.state], language=language)
            for release in today.of(subject)
            if release.state in _WORDS
            for language in release.languages
        ),
        withdrawn=newest.withdrawn if gone and newest is not None else "",
        others=tuple(
            OtherCard(language=one.language, code=one.text[:12], mark=mark(one.language), why=why(one.language))
            for one in (current.prints if current else ())
        ),
        last=newest.version if newest else "",
    )


def _same(current: Release, now: Bound, language: str) -> bool:
    """Whether a page made from the folder says what was released in this language, no more and no less.

    The English card does not depend on what a translation became since; a translation does on the English card, which
    is what it was translated from.
    """
    if any(now.parts.get(name) != current.part(name) for name in SAME_MEANING):
        return False
    return language == "en" or any(
        (one.language, one.digest, one.labels) == (held.language, held.text, held.labels) and not one.in_english
        for one in now.translated
        for held in current.prints
        if one.language == language
    )


def _code(release: Release, language: str = "en") -> str:
    return release.text_in(language)[:12]


def _mark(release: Release) -> ReleaseMark:
    return ReleaseMark(approved=release.approved, effective=release.effective, review=release.review)
