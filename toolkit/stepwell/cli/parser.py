"""The parser of the command line, built when it is needed and not at import."""

from __future__ import annotations

import argparse
from collections.abc import Callable

from stepwell import __version__
from stepwell.cli import build, cards, check, compare, explain, hazards, import_, new, preview, repair, rig, site, words
from stepwell.cli.bundle import verb as bundle
from stepwell.cli.console import Console
from stepwell.cli.review import approve, propose, recall, recheck, release, verify, withdraw

Run = Callable[[argparse.Namespace, Console], int]

EXIT_CODES = """exit codes:
  0  nothing to answer for
  1  findings at or above the threshold of --fail-on
  2  input that can't be used, or a call that can't be understood
  3  nothing found, but something was not decided

Not a medical device. Does not replace the maker's instructions, local policy or licensed judgement."""


def build_parser() -> argparse.ArgumentParser:
    """The parser with one sub-parser per verb; each sets ``run`` to its function."""
    parser = argparse.ArgumentParser(
        prog="stepwell",
        description="Write procedures for extracorporeal life support once; check every permitted order, print the cards,"
        " publish the site.",
        epilog=EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"stepwell {__version__}")
    verbs = parser.add_subparsers(title="verbs", metavar="VERB", required=True)
    review = (propose, approve, release, withdraw, verify, recall, recheck)
    made = (cards, site, build, words)
    for module in (new, import_, rig, preview, check, repair, *made, compare, *review, hazards, explain, bundle):
        module.add(verbs)
    return parser
