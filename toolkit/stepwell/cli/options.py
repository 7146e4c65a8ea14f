"""Options that several verbs share."""

from __future__ import annotations

import argparse
from datetime import date

from stepwell.diagnostics.severity import Severity


def add_as_of(parser: argparse.ArgumentParser) -> None:
    """``--as-of DATE``: the day on which due dates and expiries are judged."""
    parser.add_argument(
        "--as-of", type=day, metavar="DATE", help="judge dates as of this day, such as 2026-11-30 (default: today)"
    )


def add_fail_on(parser: argparse.ArgumentParser) -> None:
    """``--fail-on``: from which severity a finding makes the exit code 1."""
    parser.add_argument(
        "--fail-on",
        type=severity,
        metavar="SEVERITY",
        default=Severity.SERIOUS,
        help="exit with 1 for findings of this severity or worse: minor, serious or fatal (default: serious)",
    )


def add_format(parser: argparse.ArgumentParser) -> None:
    """``--format text|json|sarif|junit``."""
    parser.add_argument(
        "--format", choices=("text", "json", "sarif", "junit"), default="text", help="how to print the report"
    )


def add_out(parser: argparse.ArgumentParser, default: str) -> None:
    """``--out DIR``: the folder that is made or replaced."""
    parser.add_argument("--out", metavar="DIR", default=default, help=f"folder to write (default: {default})")


def add_cache(parser: argparse.ArgumentParser) -> None:
    """``--cache DIR`` and ``--no-cache``: where reports are kept, so that only what changed is searched again."""
    parser.add_argument("--cache", metavar="DIR", help="folder in which reports are kept (default: the user's own for that)")
    parser.add_argument("--no-cache", action="store_true", help="search everything anew and keep nothing")


def add_unit(parser: argparse.ArgumentParser) -> None:
    """``WORKSPACE``: the unit's folder."""
    parser.add_argument(
        "workspace", nargs="?", default=".", metavar="WORKSPACE", help="the unit's folder (default: this one)"
    )


def day(text: str) -> date:
    """A date as ``2026-11-30``."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a day like 2026-11-30") from None


def severity(text: str) -> Severity:
    """A severity by its word."""
    for level in Severity:
        if level.word == text:
            return level
    raise argparse.ArgumentTypeError(f"{text!r} is none of minor, serious, fatal")
