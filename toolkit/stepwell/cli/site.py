"""site: build the pages that staff search and the committee reads."""

from __future__ import annotations

import argparse

from stepwell.cli.console import Console
from stepwell.cli.produce import add_options, make_site, produce


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("site", help="build the site, which works without a network", description=__doc__)
    add_options(parser, "out/site")
    parser.add_argument("--no-slips", action="store_true", help="do not try single slips; the pages say so")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Check, then build the site."""
    return produce(args, console, make_site)
