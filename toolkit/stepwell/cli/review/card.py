"""What every release needs: the unmarked cards as bytes, and the trial of its entry before it is written."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from stepwell.cli import layers
from stepwell.cli.failure import UsageProblem
from stepwell.cli.review.desk import Desk, Subject
from stepwell.ledger.canonical import Json
from stepwell.ledger.chain import build_chain
from stepwell.ledger.entry import Entry
from stepwell.ledger.kept import keep
from stepwell.ledger.prints import Print, prints_plain
from stepwell.ledger.problems import QUORUM_SHORT, WALK_THROUGH_MISSING
from stepwell.ledger.standing import standing
from stepwell.ledger.store import keep_card
from stepwell.publish.bound import Translated
from stepwell.publish.sheet import ReleaseMark
from stepwell.source.files import shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Cards:
    """The cards of one release as bytes: ``pdf`` in English, ``others`` by language where there is one. ``left_out`` are
    (language, why there is none in it)."""

    subject: Subject
    pdf: bytes
    others: dict[str, bytes]
    left_out: tuple[tuple[str, str], ...]

    @property
    def body(self) -> dict[str, Json]:
        """What the entry of the release says of them. ``languages`` is not there where English stands alone."""
        found: dict[str, Json] = {"pdf": _hash(self.pdf)}
        if self.others:
            found["languages"] = prints_plain(
                Print(
                    language=one.language,
                    text=one.digest,
                    labels=one.labels,
                    pdf=_hash(self.others[one.language]) if one.language in self.others else "",
                )
                for one in self.subject.translated
            )
        return found

    def keep(self, root: Path) -> tuple[tuple[str, Path], ...]:
        """Keep the cards and what is printed on them; (language, path) of each card, English first."""
        name, version = self.subject.name, self.subject.version
        paths = [("en", keep_card(root, name, version, self.pdf))]
        paths += [(code, keep_card(root, name, version, pdf, code)) for code, pdf in self.others.items()]
        keep(root, (*self.subject.kept, *(one.text for one in self.subject.translated if one.language in self.others)))
        return tuple(paths)

    def told(self, paths: Iterable[tuple[str, Path]]) -> list[str]:
        """Which cards there are besides the English one, and which there are not, in words."""
        said = [f"Released in the language {code}: {shown(path)}." for code, path in paths if code != "en"]
        return said + [f"NOT released in the language {code}: {why}" for code, why in self.left_out]


def cards_of(desk: Desk, subject: Subject, effective: date, review: date | None) -> Cards:
    """The unmarked cards as PDF, in English and in each language of the unit that all of the card stands in.

    Raises UsageProblem if the pages of the English card break a rule. A card in another language that breaks one is left
    out with the reason: it must not keep the English one from its place.
    """
    mark = ReleaseMark(approved=desk.as_of, effective=effective, review=review)
    pdf, fault = _pressed(desk, subject, mark, "en")
    if fault is not None:
        raise UsageProblem(f"The card can't be released: {fault[0]}", fault[1])
    others: dict[str, bytes] = {}
    left_out: list[tuple[str, str]] = []
    for one in subject.translated:
        why = why_left_out(desk, subject, one)
        if not why:
            data, fault = _pressed(desk, subject, mark, one.language)
            if fault is None:
                others[one.language] = data
            else:
                why = f"{fault[0]} {fault[1]}"
        if why:
            left_out.append((one.language, why))
    return Cards(subject=subject, pdf=pdf, others=others, left_out=tuple(left_out))


def why_left_out(desk: Desk, subject: Subject, translated: Translated) -> str:
    """Why a release can't have a card in a language, as far as its text goes; empty if it can."""
    from stepwell.render.cards.start import start_in
    from stepwell.render.cards.whole import lines_in_english

    report = desk.check({subject.name})
    sheet = desk.sheet(desk.procedure(subject.name), report, language=translated.language)
    count = lines_in_english(sheet, desk.as_of, start_in(desk.workspace, report, sheet))
    if not count:
        return ""
    lines = "1 text of its card is" if count == 1 else f"{count} texts of its card are"
    return f"{lines} not translated or not confirmed. `stepwell words` tells how far it has come."


def told_languages(desk: Desk, subject: Subject) -> list[str]:
    """What of it the committee agrees to in other languages, and which of them a release would have a card in."""
    said = []
    for one in subject.translated:
        why = why_left_out(desk, subject, one)
        if why:
            said.append(f"In the language {one.language} it is a draft and stays one: {why}")
        else:
            agreed = "is part of what is agreed to, and is released with it"
            said.append(f"Its text in the language {one.language}, code {one.digest[:12]}, {agreed}.")
    return said


def prints_now(translated: Iterable[Translated]) -> tuple[Print, ...]:
    """What a release of these would hold of them, as if each had a card: for comparing what they say."""
    return tuple(Print(language=one.language, text=one.digest, labels=one.labels, pdf=one.digest) for one in translated)


def _pressed(desk: Desk, subject: Subject, mark: ReleaseMark, language: str) -> tuple[bytes, tuple[str, str] | None]:
    """A card, and what of its pages breaks a rule, with the mend."""
    report = desk.check({subject.name})
    sheet = desk.sheet(desk.procedure(subject.name), report, mark, language)
    card = layers.card(sheet, desk.as_of, desk.workspace, report)
    bad = [finding for finding in card.findings if finding.severity > 1]
    return card.pdf, (bad[0].message, bad[0].mend) if bad else None


def _hash(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


_WHY = {
    QUORUM_SHORT.name: "It has not the approvals that the policy asks for.",
    WALK_THROUGH_MISSING.name: "It changes what is done, and nobody has walked through it: `approve --walk-through DAY`.",
}
"""What to say before it is written, where the fault itself speaks of a release that is there."""


def refuse_unless_it_counts(desk: Desk, entry: Entry) -> None:
    """Raise UsageProblem, with the reasons, if the entry would not count."""
    tried = build_chain([*desk.chain.entries, entry])
    told = standing(tried, layers.kinds_of(desk.workspace), date.max)
    counts = any(release.entry == entry.id for release in told.releases) or (
        entry.subject == "policy" and told.policy_content == entry.text("content")
    )
    if not counts:
        new = [problem for problem in told.problems if problem.where == entry.id]
        why = " ".join(_WHY.get(problem.fault.name, problem.fault.summary) + f" {problem.detail}" for problem in new)
        raise UsageProblem(f"{entry.subject} can't be released. {why}".strip(), "`stepwell verify` says what is missing.")
