"""release: write the unmarked cards of what was approved, and put them in force. Nothing else lays out unmarked cards."""

from __future__ import annotations

import argparse
from datetime import date

from stepwell import __version__
from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.review.approve import newest_proposal
from stepwell.cli.review.batch import release_batch
from stepwell.cli.review.card import Cards, cards_of, prints_now, refuse_unless_it_counts
from stepwell.cli.review.desk import Desk, Subject, add_common, add_key, day, open_desk, signer_of
from stepwell.ledger.batch import BATCH
from stepwell.ledger.canonical import Json
from stepwell.ledger.entry import Entry, make_entry
from stepwell.ledger.kept import keep_sources
from stepwell.ledger.prints import not_the_same
from stepwell.ledger.recall import errands
from stepwell.publish.due import months_later
from stepwell.report.results import Status
from stepwell.source.files import shown
from stepwell.source.unit_files import unit_files


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("release", help="put what was approved in force, with its unmarked card", description=__doc__)
    parser.add_argument("subject", metavar="ID", help="a procedure, `policy`, or `batch`")
    parser.add_argument("--effective", type=day, metavar="DAY", help="from when it counts (default: today)")
    parser.add_argument("--review", type=day, metavar="DAY", help="by when it is to be reviewed")
    add_key(parser)
    add_common(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Try the release on the ledger first; only one that would be in force is written, and its cards with it."""
    desk = open_desk(args.unit, console, args.time)
    proposal = newest_proposal(desk, args.subject)
    if args.subject == BATCH:
        if args.review is not None:
            raise UsageProblem("A batch can't put off a review.", "Leave --review out: each card keeps its own.")
        return release_batch(desk, proposal, args.effective or desk.as_of, args.key)
    subject = desk.subject(args.subject)
    if subject.content != proposal.text("content"):
        changed = [name for name, value in subject.parts.items() if proposal.mapping("parts").get(name) != value]
        raise UsageProblem(
            f"{args.subject} is not what was proposed any more: {', '.join(changed)} changed.",
            "Propose it again, or take the change back.",
        )
    effective = args.effective or desk.as_of
    review = args.review or months_later(effective, desk.policy.review_after)
    if review <= effective:
        raise UsageProblem("The review comes before the release.", "Give a later --review.")
    if subject.sheet is not None:
        _refuse_unsafe(desk, subject)
        _refuse_same_version(desk, subject)
    cards = None if subject.sheet is None else cards_of(desk, subject, effective, review)
    entry = _entry(desk, args, proposal, subject, (effective, review), cards)
    refuse_unless_it_counts(desk, entry)
    paths = () if cards is None else cards.keep(desk.root)
    written = desk.write(entry.kind, entry.body, args.key)
    if cards is None:
        console.note("The review policy is in force.")
        return 0
    keep_sources(desk.root, written.id, unit_files(desk.root))
    console.note(f"Released {subject.name} {subject.version}, effective {effective.isoformat()}: {shown(paths[0][1])}.")
    for line in cards.told(paths):
        console.note(line)
    for errand in errands(desk.today, desk.workspace.unit.places):
        if errand.old.subject == subject.name:
            console.note(f"Take {errand.old_named} down at {errand.place.label}, and hang {errand.new_named}.")
    return 0


def _refuse_unsafe(desk: Desk, subject: Subject) -> None:
    """No vote makes a known unsafe order, or one that nobody knows, fit to be printed unmarked."""
    report = desk.check({subject.name}).procedures[0]
    for verdict in report.verdicts:
        if verdict.status in (Status.VIOLATED, Status.NOT_DECIDED) and verdict.waiver is None:
            raise UsageProblem(
                f"{subject.name} can't be released. {verdict.status.value.capitalize()}: {verdict.title} [{verdict.code}].",
                "Mend it, or have the rule waived for it by name and with a reason.",
            )
    if report.against:
        found = report.against[0]
        raise UsageProblem(f"{subject.name} can't be released. {found.message} [{found.code}]", found.mend)
    if report.verdicts and report.verdicts[0].inspected is None:
        desk.console.note(f"Note: nobody compared the set {report.verdicts[0].rig} with a real one.")


def _refuse_same_version(desk: Desk, subject: Subject) -> None:
    """Two cards that say different things under one version can't be told apart by somebody who reads the version."""
    for old in desk.today.of(subject.name):
        if old.version == subject.version and old.part("text") != subject.parts.get("text"):
            raise UsageProblem(
                f"{subject.name} can't be released. Version {old.version} was released before, and said something else.",
                "Raise `version`, and propose it again.",
            )
        others = not_the_same(old.prints, prints_now(subject.translated)) if old.version == subject.version else ()
        if others:
            raise UsageProblem(
                f"{subject.name} can't be released. Version {old.version} was released before in the language "
                f"{' and '.join(others)}, and said something else in it.",
                "Raise `version`, and propose it again.",
            )


def _entry(
    desk: Desk,
    args: argparse.Namespace,
    proposal: Entry,
    subject: Subject,
    days: tuple[date, date],
    cards: Cards | None,
) -> Entry:
    waiting = next((one for one in desk.today.proposals if one.entry == proposal.id), None)
    if waiting is None:
        raise UsageProblem(f"{subject.name} has been released as it is.", "Nothing is left to do.")
    body: dict[str, Json] = {
        "subject": subject.name,
        "version": subject.version,
        "content": subject.content,
        "parts": subject.parts,
        "proposal": proposal.id,
        "approvals": [one.entry for one in waiting.tally.counted],
        "effective": days[0].isoformat(),
        "review": days[1].isoformat(),
        "pdf": "",
        "signer": signer_of(desk, args.key) if args.key else "",
        "tool": __version__,
    }
    return make_entry("release", desk.now, desk.chain.heads, body | (cards.body if cards else {}))
