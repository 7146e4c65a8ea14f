"""cards: lay out every procedure as a PDF, and the sheets beside the cards if they are asked for."""

from __future__ import annotations

import argparse
from pathlib import Path

from stepwell.cli.console import Console
from stepwell.cli.produce import SORTS, Job, add_options, make_cards, make_sheets, produce


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("cards", help="lay out every procedure as a PDF", description=__doc__)
    add_options(parser, "out/cards")
    parser.add_argument(
        "--also",
        type=_sorts,
        metavar="SORTS",
        default=(),
        help=f"also these sheets, with commas between: {', '.join(SORTS)}; or all",
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Check, then write one PDF per procedure. Nothing here is released, so every page is marked as a
    draft."""
    sorts: tuple[str, ...] = args.also

    def make(job: Job, folder: Path) -> None:
        make_cards(job, folder)
        if sorts:
            make_sheets(job, folder, sorts)

    return produce(args, console, make)


def _sorts(text: str) -> tuple[str, ...]:
    """``kit,trainer`` as names of sorts, in the order of the help."""
    asked = {word.strip() for word in text.split(",") if word.strip()}
    unknown = sorted(asked - {*SORTS, "all"})
    if unknown or not asked:
        raise argparse.ArgumentTypeError(f"{', '.join(unknown) or text!r} is none of {', '.join(SORTS)}, all")
    return SORTS if "all" in asked else tuple(sort for sort in SORTS if sort in asked)
