"""approve: agree to what was proposed, signed with a key or entered from minutes; or record a walk-through of it."""

from __future__ import annotations

import argparse

from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.review.batch import batch_of, changed_in
from stepwell.cli.review.card import told_languages
from stepwell.cli.review.desk import Desk, add_common, add_key, day, open_desk, signer_of
from stepwell.ledger.batch import BATCH
from stepwell.ledger.canonical import Json
from stepwell.ledger.entry import POLICY, Entry


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("approve", help="agree to what was proposed", description=__doc__)
    parser.add_argument("subject", metavar="ID", help="a procedure, `policy`, or `batch`")
    parser.add_argument("--role", metavar="ROLE", help="the role in which you approve")
    parser.add_argument("--by", metavar="SIGNER", help="who approved (with --minutes)")
    parser.add_argument("--minutes", metavar="TEXT", help="where the minutes say so: recorded, not signed")
    parser.add_argument("--entered-by", metavar="SIGNER", default="", help="who enters it from the minutes")
    parser.add_argument(
        "--walk-through", type=day, metavar="DAY", help="record that the procedure was walked through on this day instead"
    )
    parser.add_argument("--note", default="", metavar="TEXT", help="what the walk-through showed")
    add_key(parser)
    add_common(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Record the approval or the walk-through of the newest proposal, if the folder still holds what was proposed."""
    desk = open_desk(args.unit, console, args.time)
    proposal = newest_proposal(desk, args.subject)
    batch = batch_of(desk, tuple(proposal.mapping("parts"))) if args.subject == BATCH else None
    now = batch.subject if batch else desk.subject(args.subject)
    # The parts too: whoever wrote the proposal may have said of its content what it is not.
    if now.content != proposal.text("content") or now.parts != proposal.mapping("parts"):
        if batch:
            names = changed_in(batch, proposal)
            raise UsageProblem(f"{names} changed since the batch was proposed.", "Propose the batch again.")
        raise UsageProblem(
            f"{args.subject} is not what was proposed any more.", "Propose it again, or take the change back."
        )
    if args.walk_through is not None:
        return _walked(desk, args, proposal)
    if args.key is None and not args.minutes:
        raise UsageProblem("It is not said how it was approved.", "Add --key FILE, or --minutes TEXT with --by.")
    signer = signer_of(desk, args.key) if args.key else (args.by or "")
    known = desk.policy.signer(signer)
    if known is None:
        names = ", ".join(one.id for one in desk.policy.signers)
        raise UsageProblem("It is not said who approved.", f"Add --by with one of {names}.")
    role = args.role or (known.roles[0] if len(known.roles) == 1 else "")
    if role not in known.roles:
        raise UsageProblem(f"{signer} can approve as {' or '.join(known.roles)}.", "Add --role.")
    body: dict[str, Json] = {key: proposal.body[key] for key in ("subject", "version", "content")}
    body |= {
        "signer": signer,
        "role": role,
        "meaning": "approved",
        "minutes": args.minutes or "",
        "entered-by": args.entered_by,
    }
    desk.write("approve", body, args.key)
    for line in told_languages(desk, now):
        console.note(line)
    told(desk, args.subject, console, f"{signer} approved as {role}{'' if args.key else ' (recorded, not signed)'}.")
    return 0


def newest_proposal(desk: Desk, subject: str) -> Entry:
    """The newest proposal of a subject. Raises UsageProblem if there is none."""
    found = [entry for entry in desk.chain.entries if entry.kind == "propose" and entry.subject == subject]
    if not found:
        raise UsageProblem(f"Nobody has proposed {subject}.", f"Start with `stepwell propose {subject} --why ...`.")
    return found[-1]


def told(desk: Desk, subject: str, console: Console, head: str) -> None:
    """Say what was recorded and what is still missing."""
    console.note(head)
    waiting = next((one for one in desk.today.proposals if one.subject == subject), None)
    if waiting is None:
        return
    for problem in waiting.tally.problems:
        console.note(f"Does not count: {problem.fault.summary} {problem.detail}")
    missing = ", ".join(f"{seat.count} x {seat.role}" for seat in waiting.tally.missing)
    if waiting.tally.met:
        console.note(f"Every seat is filled. Next: `stepwell release {subject}`.")
    else:
        console.note(f"Still missing: {missing}.")


def _walked(desk: Desk, args: argparse.Namespace, proposal: Entry) -> int:
    if args.subject in (POLICY, BATCH):
        raise UsageProblem(f"A {args.subject} is not walked through.")
    desk.write(
        "walk-through",
        {
            "subject": args.subject,
            "content": proposal.text("content"),
            "model": str(proposal.mapping("parts").get("model", "")),
            "day": args.walk_through.isoformat(),
            "roles": list(desk.procedure(args.subject).people),
            "note": args.note,
        },
        args.key,
    )
    told(desk, args.subject, desk.console, f"Walked through on {args.walk_through.isoformat()}.")
    return 0
