"""check: search every permitted order and say what was found."""

from __future__ import annotations

import argparse
import os

from stepwell import __version__
from stepwell.cli import layers, options
from stepwell.cli.cache import cache_of
from stepwell.cli.console import Console
from stepwell.cli.layers_repair import with_repairs
from stepwell.cli.locate import locate
from stepwell.cli.today import today
from stepwell.render.json_report import render_json
from stepwell.render.junit import render_junit
from stepwell.render.sarif import render_sarif
from stepwell.render.text.check_report import render_check
from stepwell.render.text.slips import render_slips, render_slips_sum


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
    loaded = layers.load(where.root, console)
    cache = cache_of(args.cache, args.no_cache, os.environ)
    as_of = args.as_of or today()
    report = layers.check(where, loaded, as_of, console, cache)
    if args.repairs:
        report = with_repairs(report, where.root, loaded.workspace, as_of, console)
    if where.files is None and loaded.workspace is not None:
        report = layers.with_ledger(where.root, loaded.workspace, report, as_of)
    report = layers.without_accepted(where, loaded.workspace, report, args.accept)
    slips = layers.slips(report, loaded.workspace, console, cache) if args.slips else None
    whole = report if slips is None else layers.with_slips(report, loaded.workspace, slips)
    if args.format == "sarif":
        rules = loaded.workspace.rules if loaded.workspace else ()
        console.write_document(render_sarif(whole, rules, version=__version__))
    elif args.format == "junit":
        console.write_document(render_junit(whole))
    elif args.format == "json":
        console.write_document(render_json(whole, version=__version__, slips=slips))
    else:
        console.write(render_check(report, console.look, threshold=args.fail_on))
        for entry in slips or ():
            console.write("\n" + render_slips(entry, console.look))
        if slips is not None:
            rest = tuple(one for one in whole.findings if one not in report.findings)
            console.write("\n" + render_slips_sum(slips, rest, console.look))
    code = whole.exit_code(args.fail_on)
    return 3 if not code and any(entry.report.undecided for entry in slips or ()) else code
