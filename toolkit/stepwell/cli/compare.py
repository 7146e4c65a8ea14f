"""compare: what changed between two versions, what that means, and whether anything is weaker."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from stepwell.cli import layers_compare as layers
from stepwell.cli.console import Console
from stepwell.cli.options import add_as_of
from stepwell.cli.revision import versions
from stepwell.cli.today import today

FORMATS = ("text", "json", "markdown", "html", "pdf")


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("compare", help="say what a change means, what is weaker first", description=__doc__)
    parser.add_argument("old", metavar="OLD", help="the unit's folder or a file of it as it was, or REV:path in git")
    parser.add_argument("new", metavar="NEW", help="the same as it is to be")
    parser.add_argument(
        "--format", choices=FORMATS, default="text", help="how to print it; pdf is the packet for a committee"
    )
    parser.add_argument("--out", metavar="FILE", help="write it to this file instead of printing it (needed for pdf)")
    parser.add_argument(
        "--old-rules",
        metavar="FOLDER",
        help="the rules that came with the tool of the older side (default: those kept with its last release)",
    )
    parser.add_argument("--no-slips", action="store_true", help="do not compare what single slips lead to (quicker)")
    add_as_of(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Compare; 1 if anything is weaker, 3 if nothing is but something was not decided."""
    from stepwell.cli.failure import UsageProblem

    if args.format == "pdf" and not args.out:
        raise UsageProblem("A packet is a file.", "Name it with --out packet.pdf.")
    as_of = args.as_of or today()
    with TemporaryDirectory(prefix="stepwell-") as room:
        old, new = versions(args.old, args.new, Path(room))
        before, then, unread = layers.load_old(old, console, as_of, Path(room) / "rules", args.old_rules)
        loaded = (before, layers.load(new, console))
        trouble = [
            finding
            for version, one in zip((old, new), loaded, strict=True)
            for finding in layers.called(one.findings, version)
            if finding.unusable
        ]
        if trouble or any(one.workspace is None for one in loaded):
            console.write(layers.unreadable(trouble, as_of, console))
            console.complain("One of the versions could not be read whole, so nothing is compared.")
            return 2
        found = layers.compare((old, new), loaded, as_of=as_of, slips=not args.no_slips, console=console, then=then)
        found = replace(found, unread=(*found.unread, *unread))
    assert loaded[1].workspace is not None
    data = layers.rendered(found, loaded[1].workspace, args.format, console)
    if args.out:
        from stepwell.source.write import write_aside

        write_aside(Path(args.out), data)
        console.note(f"Wrote {args.out}.")
    elif args.format == "text":
        console.write(data.decode())
    else:
        console.write_document(data.decode())
    if found.anything_weaker:
        return 1
    undecided = any(one.new == "not decided" for one in found.meaning.verdicts)
    return 3 if undecided else 0
