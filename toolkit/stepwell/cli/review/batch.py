"""A batch: the cards in force whose layout, rules or tool are new, and which say what they said. One approval for all."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from stepwell import __version__
from stepwell.cli.failure import UsageProblem
from stepwell.cli.review.card import Cards, cards_of, prints_now, refuse_unless_it_counts, why_left_out
from stepwell.cli.review.desk import Desk, Subject, signer_of
from stepwell.ledger.batch import BATCH, SAME, batch_content
from stepwell.ledger.canonical import Json
from stepwell.ledger.entry import Entry, make_entry
from stepwell.ledger.kept import keep_sources
from stepwell.ledger.prints import not_the_same
from stepwell.ledger.standing import Release, ReleaseState
from stepwell.report.results import Status
from stepwell.source.files import shown
from stepwell.source.unit_files import unit_files

PART_WORDS = {
    "model": "what is done, or the set",
    "text": "what is printed",
    "verdicts": "what the check says",
    "rules": "a rule that looks at it",
    "catalogue": "the rules of the tool",
    "template": "the layout",
    "tool": "the tool",
    "translations": "what is printed in other languages",
    "labels": "the words of the set in other languages",
}
"""The parts of a release as people call them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """``cards`` may be released in one go; ``refused`` are (procedure, why not); ``same`` need not be."""

    cards: tuple[Subject, ...]
    refused: tuple[tuple[str, str], ...]
    same: tuple[str, ...]

    @property
    def subject(self) -> Subject:
        """The batch as one thing to propose and to approve."""
        items: dict[str, Json] = {
            card.name: {"version": card.version, "content": card.content, "parts": card.parts} for card in self.cards
        }
        return Subject(name=BATCH, version="", content=batch_content(items), parts=items)


def batch_of(desk: Desk, only: Collection[str] = ()) -> Batch:
    """What could be released in one go as the folder stands now: all cards in force, or ``only`` these.

    Raises UsageProblem if one of ``only`` is refused: then nothing of what was asked for is done.
    """
    wanted = [one for one in desk.today.releases if one.state is ReleaseState.IN_FORCE and (not only or one.subject in only)]
    lost = [name for name in only if name not in {one.subject for one in wanted}]
    if lost:
        raise UsageProblem(f"No card of {', '.join(lost)} is in force.", "Propose it by itself.")
    known = {procedure.id for procedure in desk.workspace.procedures}
    report = desk.check({one.subject for one in wanted} & known)
    cards: list[Subject] = []
    refused: list[tuple[str, str]] = []
    same: list[str] = []
    for old in wanted:
        if old.subject not in known:
            refused.append((old.subject, "the folder has no such procedure any more"))
            continue
        now = desk.subject(old.subject, report)
        why = _objection(desk, old, now)
        if why:
            refused.append((old.subject, why))
        elif now.content == old.content:
            same.append(old.subject)
        else:
            cards.append(now)
    if only and refused:
        told = "; ".join(f"{name}: {why}" for name, why in refused)
        raise UsageProblem(f"These can't go into a batch. {told}.", "Propose them one by one; the committee must see them.")
    return Batch(cards=tuple(cards), refused=tuple(refused), same=tuple(same))


def _objection(desk: Desk, old: Release, now: Subject) -> str:
    changed = ["the version"] * (now.version != old.version)
    changed += [PART_WORDS[name] for name in SAME if old.part(name) != now.parts[name]]
    if changed:
        return f"changed: {', '.join(changed)}"
    held = {one.language for one in old.prints}
    whole = [one for one in now.translated if one.language in held and not why_left_out(desk, now, one)]
    lost = not_the_same(old.prints, prints_now(whole))
    if lost:
        return f"changed: what is printed in the language {' and '.join(lost)}"
    report = next(one for one in desk.check({old.subject}).procedures if one.procedure == old.subject)
    bad = [v for v in report.verdicts if v.status in (Status.VIOLATED, Status.NOT_DECIDED) and v.waiver is None]
    if bad or report.against:
        return bad[0].title if bad else report.against[0].message
    return ""


def batch_to_propose(desk: Desk, only: Collection[str]) -> Subject:
    """The batch to propose; says what goes into it and what does not. Raises UsageProblem if nothing does."""
    batch = batch_of(desk, only)
    for name, told in batch.refused:
        desk.console.note(f"Not in the batch: {name}: {told}.")
    if not batch.cards:
        raise UsageProblem(
            "No card can be released in a batch.",
            "Every card in force is as it was released." if not batch.refused else "Propose those cards one by one.",
        )
    for card in batch.cards:
        old = desk.today.in_force(card.name)
        new = [PART_WORDS[name] for name, value in card.parts.items() if old is not None and old.part(name) != value]
        desk.console.note(f"In the batch: {card.name} {card.version}; new is {', '.join(new)}.")
    return batch.subject


def release_batch(desk: Desk, proposal: Entry, effective: date, key: Path | None) -> int:
    """Release every card of a batch, each with an entry of its own. Everything is laid out before anything is written."""
    batch = batch_of(desk, tuple(proposal.mapping("parts")))
    if batch.subject.content != proposal.text("content"):
        raise UsageProblem(
            f"{changed_in(batch, proposal)} changed since the batch was proposed.", "Propose the batch again."
        )
    waiting = next((one for one in desk.today.proposals if one.entry == proposal.id), None)
    if waiting is None:
        raise UsageProblem("The batch has been released as it is.", "Nothing is left to do.")
    pressed: list[tuple[Subject, Release, Cards]] = []
    for card in batch.cards:
        old = desk.today.in_force(card.name)
        assert old is not None
        pressed.append((card, old, _as_approved(old, cards_of(desk, card, effective, old.review))))
    for card, old, cards in pressed:
        body: dict[str, Json] = {
            "subject": card.name,
            "version": card.version,
            "content": card.content,
            "parts": card.parts,
            "proposal": proposal.id,
            "approvals": [one.entry for one in waiting.tally.counted],
            "effective": effective.isoformat(),
            "review": old.review.isoformat() if old.review else "",
            "signer": signer_of(desk, key) if key else "",
            "tool": __version__,
            **cards.body,
        }
        refuse_unless_it_counts(desk, make_entry("release", desk.now, desk.chain.heads, body))
        paths = cards.keep(desk.root)
        written = desk.write("release", body, key)
        keep_sources(desk.root, written.id, unit_files(desk.root))
        desk.console.note(f"Released {card.name} {card.version} again: {shown(paths[0][1])}.")
        for line in cards.told(paths):
            desk.console.note(line)
    desk.console.note(
        "What these cards say is as it was: old prints need not be taken down. The reviews stay due as they were."
    )
    return 0


def _as_approved(old: Release, cards: Cards) -> Cards:
    """Without cards in languages whose text was not approved with the release before.

    Raises UsageProblem if one that there was before could not be laid out: a batch takes nothing away.
    """
    now = cards.subject
    lost = [one.language for one in old.prints if one.language not in cards.others]
    if lost:
        told = "; ".join(f"{code}: {why}" for code, why in cards.left_out if code in lost)
        raise UsageProblem(f"{now.name} can't be released in a batch. {told}", "Propose it by itself.")
    same = bool(old.part("translations")) and old.part("translations") == now.parts.get("translations")
    held = {(one.language, one.text) for one in old.prints}
    fresh = {
        one.language
        for one in now.translated
        if one.language in cards.others and not (same or (one.language, one.digest) in held)
    }
    why = "Its text was not approved with the release before. Propose the card by itself."
    return replace(
        cards,
        others={code: pdf for code, pdf in cards.others.items() if code not in fresh},
        left_out=(*cards.left_out, *((code, why) for code in sorted(fresh))),
    )


def changed_in(batch: Batch, proposal: Entry) -> str:
    """The procedures that are not what the batch holds of them."""
    then, now = proposal.mapping("parts"), batch.subject.parts
    return ", ".join(sorted(name for name in {*then, *now} if then.get(name) != now.get(name)))
