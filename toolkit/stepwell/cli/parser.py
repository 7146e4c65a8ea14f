"""The parser of the command line, built when it is needed and not at import."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from importlib import import_module

from stepwell import __version__
from stepwell.cli.console import Console

Run = Callable[[argparse.Namespace, Console], int]

VERBS = {
    "new": "new",
    "import": "import_",
    "rig": "rig",
    "preview": "preview",
    "check": "check",
    "repair": "repair",
    "cards": "cards",
    "site": "site",
    "build": "build",
    "words": "words",
    "compare": "compare",
    "propose": "review.propose",
    "approve": "review.approve",
    "release": "review.release",
    "withdraw": "review.withdraw",
    "verify": "review.verify",
    "recall": "review.recall",
    "recheck": "review.recheck",
    "hazards": "hazards",
    "explain": "explain",
    "bundle": "bundle.verb",
}
"""Each verb and its module, in the order of the help."""

EXIT_CODES = """exit codes:
  0  nothing to answer for
  1  findings at or above the threshold of --fail-on
  2  input that can't be used, or a call that can't be understood
  3  nothing found, but something was not decided

Not a medical device. Does not replace the maker's instructions, local policy or licensed judgement."""


def build_parser(argv: Sequence[str]) -> argparse.ArgumentParser:
    """The parser with one sub-parser per verb; each sets ``run`` to its function.

    Where the call begins with a verb only that one is there: to load all of them takes longer than many a call.
    """
    parser = argparse.ArgumentParser(
        prog="stepwell",
        description="Write procedures for extracorporeal life support once; check every permitted order, print the cards,"
        " publish the site.",
        epilog=EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"stepwell {__version__}")
    verbs = parser.add_subparsers(title="verbs", metavar="VERB", required=True)
    called = argv[0] if argv and argv[0] in VERBS else None
    for name in VERBS if called is None else (called,):
        import_module(f"stepwell.cli.{VERBS[name]}").add(verbs)
    return parser
