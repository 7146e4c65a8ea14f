"""build: check, cards, the sheets beside them, site and report in one go; the main job."""

from __future__ import annotations

import argparse
from pathlib import Path

from stepwell.cli.console import Console
from stepwell.cli.produce import (
    Job,
    add_options,
    make_cards,
    make_report,
    make_sheets,
    make_site,
    other_languages,
    produce,
)


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("build", help="check, cards, sheets, site and report: all of it", description=__doc__)
    add_options(parser, "out")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Check, then write cards, site and report into one folder."""
    return produce(args, console, make_all)


def make_all(job: Job, folder: Path) -> None:
    """Everything, each in its place in ``folder``."""
    make_cards(job, folder / "cards")
    for code in other_languages(job):
        make_cards(job, folder / "cards" / code, code)
    make_sheets(job, folder / "sheets")
    for code in other_languages(job):
        make_sheets(job, folder / "sheets" / code, language=code)
    make_site(job, folder / "site")
    make_report(job, folder)
