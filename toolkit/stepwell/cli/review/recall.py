"""recall: the list to walk with, of old cards that may still hang; and the record that one was taken down."""

from __future__ import annotations

import argparse

from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.review.desk import Desk, add_common, open_desk
from stepwell.ledger.recall import Errand, errands
from stepwell.ledger.standing import Release


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("recall", help="list old cards that may still hang, or tick one off", description=__doc__)
    parser.add_argument("--done", nargs=2, metavar=("PLACE", "ID"), help="record that the old cards of ID are down at PLACE")
    parser.add_argument("--by", default="", metavar="SIGNER", help="who took them down")
    add_common(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Print the list, place by place; exit code 1 while something is open."""
    desk = open_desk(args.unit, console, args.time)
    if args.done:
        _tick(desk, args)
    left = errands(desk.today, desk.workspace.unit.places)
    console.write(render_errands(left))
    return 1 if left else 0


def render_errands(left: tuple[Errand, ...]) -> str:
    """The list as text."""
    if not left:
        return "No old card is known to hang anywhere.\n"
    lines = ["Old cards to take down", ""]
    for place in dict.fromkeys(errand.place.id for errand in left):
        here = [errand for errand in left if errand.place.id == place]
        lines.append(f"{here[0].place.label} ({place})")
        for errand in here:
            new = f"hang {errand.new_named}" if errand.new else "hang nothing: no card is in force"
            lines.append(f"  [ ] {errand.old.subject} {errand.old.version}, {codes(errand.old)}, {errand.old.state}; {new}")
        lines.append("")
    lines.append("Only places that unit.yaml names can be listed. Pocket copies and photographs can't.")
    return "\n".join(lines) + "\n"


def codes(release: Release) -> str:
    """The codes of all its prints: ``code 0123...``, and of each other language behind that."""
    others = "".join(f", in {one.language} {one.text[:12]}" for one in release.prints)
    return f"code {release.part('text')[:12]}{others}"


def _tick(desk: Desk, args: argparse.Namespace) -> None:
    place, subject = args.done
    meant = [e for e in errands(desk.today, desk.workspace.unit.places) if e.place.id == place and e.old.subject == subject]
    if not meant:
        raise UsageProblem(f"No old card of {subject} is open at {place}.", "Look at the list: `stepwell recall`.")
    if not args.by:
        raise UsageProblem("It is not said who took it down.", "Add --by.")
    for errand in meant:
        body = {"subject": subject, "release": errand.old.entry, "place": place, "by": args.by}
        desk.write("taken-down", {**body})
