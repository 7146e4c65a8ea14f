"""propose: put a procedure, or the review policy, before the committee as it stands now."""

from __future__ import annotations

import argparse

from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.review.batch import batch_to_propose
from stepwell.cli.review.card import told_languages
from stepwell.cli.review.desk import add_common, add_key, open_desk, signer_of
from stepwell.ledger.batch import BATCH
from stepwell.ledger.entry import POLICY
from stepwell.report.results import Status


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("propose", help="put a procedure before the committee", description=__doc__)
    parser.add_argument(
        "subject",
        metavar="ID",
        help="a procedure, `policy` for the review policy of unit.yaml, or `batch`: all cards that say what they said",
    )
    parser.add_argument("--why", required=True, metavar="TEXT", help="why it is new or changed")
    parser.add_argument("--author", metavar="SIGNER", help="who wrote it (default: the holder of --key)")
    parser.add_argument("--only", nargs="+", default=(), metavar="ID", help="with `batch`: these cards and no others")
    add_key(parser)
    add_common(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Record the proposal. What is violated or not decided is told, and does not hinder it: the committee sees it too."""
    desk = open_desk(args.unit, console, args.time)
    author = args.author or (signer_of(desk, args.key) if args.key else "")
    if desk.policy.signer(author) is None:
        known = ", ".join(signer.id for signer in desk.policy.signers)
        raise UsageProblem("It is not said who the author is.", f"Add --author with one of {known}, or --key.")
    one = args.subject not in (POLICY, BATCH)
    report = desk.check({desk.procedure(args.subject).id}) if one else None
    subject = batch_to_propose(desk, args.only) if args.subject == BATCH else desk.subject(args.subject, report)
    entry = desk.write(
        "propose",
        {
            "subject": subject.name,
            "version": subject.version,
            "content": subject.content,
            "parts": subject.parts,
            "author": author,
            "why": args.why,
        },
        args.key,
    )
    console.note(f"Proposed {subject.name} {subject.version}".rstrip() + f", content {subject.content[:12]}.")
    for line in told_languages(desk, subject):
        console.note(line)
    for verdict in report.procedures[0].verdicts if report is not None else ():
        if verdict.status in (Status.VIOLATED, Status.NOT_DECIDED):
            console.note(f"{verdict.status.value.upper()}: {verdict.title} [{verdict.code}]")
    waiting = next((one for one in desk.today.proposals if one.entry == entry.id), None)
    if waiting is not None:
        needed = ", ".join(f"{seat.count} x {seat.role}" for seat in waiting.tally.missing)
        console.note(f"It needs the approval of: {needed}.")
    return 0
