"""cards: lay out every procedure as a PDF."""

from __future__ import annotations

import argparse

from stepwell.cli.console import Console
from stepwell.cli.produce import add_options, make_cards, produce


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("cards", help="lay out every procedure as a PDF", description=__doc__)
    add_options(parser, "out/cards")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Check, then write one PDF per procedure. Nothing here is released, so every page is marked as a
    draft."""
    return produce(args, console, make_cards)
