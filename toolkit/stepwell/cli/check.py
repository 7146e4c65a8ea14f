"""check: search every permitted order and say what was found."""

from __future__ import annotations

import argparse
import os
from time import monotonic
from typing import TYPE_CHECKING

from stepwell import __version__
from stepwell.cli import options
from stepwell.cli.cache import cache_of
from stepwell.cli.console import Console
from stepwell.cli.locate import locate
from stepwell.cli.today import today
from stepwell.cli.unchanged import Unchanged
from stepwell.render.text.check_report import render_check
from stepwell.report.results import CheckReport

if TYPE_CHECKING:
    from stepwell.model.rule import Rule
    from stepwell.slips.answers import Answers

UNPRESSED = 60.0
"""A check that took fewer seconds in all was at none of its bounds on time."""


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("check", help="search every permitted order for a hazard", description=__doc__)
    parser.add_argument("paths", nargs="*", metavar="PATH", help="the unit's folder, or files in it (default: this folder)")
    options.add_format(parser)
    options.add_as_of(parser)
    options.add_fail_on(parser)
    parser.add_argument("--slips", action="store_true", help="also say what each single slip at a step would lead to")
    parser.add_argument("--repairs", action="store_true", help="also look for the smallest change that mends each finding")
    parser.add_argument(
        "--accept",
        metavar="ROLE",
        help="put the findings of writing that are there now into accepted.yaml, so that only new ones are shown",
    )
    options.add_cache(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Check and print; the exit code is that of the report."""
    where = locate(args.paths)
    cache, as_of = cache_of(args.cache, args.no_cache, os.environ), args.as_of or today()
    before = Unchanged(cache, where, as_of) if _is_plain(args) else None
    found = None if before is None else before.report()
    if found is not None:
        return _told(args, console, found)
    from stepwell.cli import layers  # heavy, and not needed where nothing was changed

    began = monotonic()
    loaded = layers.load(where.root, console)
    report = layers.check(where, loaded, as_of, console, cache)
    if args.repairs:
        from stepwell.cli.layers_repair import with_repairs

        report = with_repairs(report, where.root, loaded.workspace, as_of, console)
    if where.files is None and loaded.workspace is not None:
        report = layers.with_ledger(where.root, loaded.workspace, report, as_of)
    report = layers.without_accepted(where, loaded.workspace, report, args.accept)
    # What was made under pressure of time may say more another time.
    if before is not None and monotonic() - began < UNPRESSED:
        before.keep(report)
    slips = layers.slips(report, loaded.workspace, console, cache) if args.slips else None
    whole = report if slips is None else layers.with_slips(report, loaded.workspace, slips)
    rules = loaded.workspace.rules if loaded.workspace else ()
    return _told(args, console, report, whole, slips, rules)


def _is_plain(args: argparse.Namespace) -> bool:
    """True if nothing but the report of the check itself is asked for."""
    return not (args.slips or args.repairs or args.accept is not None or args.format == "sarif")


def _told(
    args: argparse.Namespace,
    console: Console,
    report: CheckReport,
    whole: CheckReport | None = None,
    slips: tuple[Answers, ...] | None = None,
    rules: tuple[Rule, ...] = (),
) -> int:
    """Print, and say the exit code. ``whole`` is the report with what is to be answered for in slips."""
    whole = whole or report
    if args.format == "text":
        _text(args, console, report, whole, slips)
    else:
        console.write_document(_document(args.format, whole, slips, rules))
    code = whole.exit_code(args.fail_on)
    return 3 if not code and any(entry.report.undecided for entry in slips or ()) else code


def _text(
    args: argparse.Namespace, console: Console, report: CheckReport, whole: CheckReport, slips: tuple[Answers, ...] | None
) -> None:
    console.write(render_check(report, console.look, threshold=args.fail_on))
    if slips is None:
        return
    from stepwell.render.text.slips import render_slips, render_slips_sum

    for entry in slips:
        console.write("\n" + render_slips(entry, console.look))
    rest = tuple(one for one in whole.findings if one not in report.findings)
    console.write("\n" + render_slips_sum(slips, rest, console.look))


def _document(kind: str, report: CheckReport, slips: tuple[Answers, ...] | None, rules: tuple[Rule, ...]) -> str:
    match kind:
        case "sarif":
            from stepwell.render.sarif import render_sarif

            return render_sarif(report, rules, version=__version__)
        case "junit":
            from stepwell.render.junit import render_junit

            return render_junit(report)
    from stepwell.render.json_report import render_json

    return render_json(report, version=__version__, slips=slips)
