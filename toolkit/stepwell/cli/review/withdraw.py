"""withdraw: take a released card out of force, in all its languages, with the reason. Nothing takes its place until
something is released."""

from __future__ import annotations

import argparse

from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.review.desk import add_common, add_key, open_desk, signer_of
from stepwell.ledger.recall import errands, named
from stepwell.ledger.standing import ReleaseState

OPEN = (ReleaseState.IN_FORCE, ReleaseState.TO_COME, ReleaseState.DISPUTED)


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("withdraw", help="take a released card out of force", description=__doc__)
    parser.add_argument("subject", metavar="ID", help="a procedure")
    parser.add_argument("--reason", required=True, metavar="TEXT", help="why")
    parser.add_argument("--by", metavar="SIGNER", help="who withdraws it (default: the holder of --key)")
    add_key(parser)
    add_common(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Record the withdrawal of every release that is in force, to come or disputed, and list where copies hang."""
    desk = open_desk(args.unit, console, args.time)
    found = [release for release in desk.today.of(args.subject) if release.state in OPEN]
    if not found:
        raise UsageProblem(f"No card of {args.subject} is in force.", "Look at `stepwell verify`.")
    by = args.by or (signer_of(desk, args.key) if args.key else "")
    if desk.policy.signer(by) is None:
        known = ", ".join(signer.id for signer in desk.policy.signers)
        raise UsageProblem("It is not said who withdraws it.", f"Add --by with one of {known}, or --key.")
    for release in found:
        body = {"subject": args.subject, "release": release.entry, "reason": args.reason, "signer": by}
        desk.write("withdraw", {**body}, args.key)
        console.note(f"Withdrew {args.subject} {named(release)}: {args.reason}")
    for errand in errands(desk.today, desk.workspace.unit.places):
        if errand.old.subject == args.subject:
            console.note(f"Take {errand.old_named} down at {errand.place.label}.")
    return 0
