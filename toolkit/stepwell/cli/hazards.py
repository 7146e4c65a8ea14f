"""hazards: which rule watches for which hazard, and which step of the unit's procedures controls it."""

from __future__ import annotations

import argparse

from stepwell.cli import layers, options
from stepwell.cli.console import Console
from stepwell.cli.locate import locate
from stepwell.cli.today import today


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser(
        "hazards", help="list every hazard with its rule and where it is controlled", description=__doc__
    )
    options.add_unit(parser)
    options.add_as_of(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Check the unit and print the table as Markdown; the exit code is that of the check."""
    from stepwell.render.text.hazards import render_hazards
    from stepwell.report.hazard_table import hazard_table

    where = locate([args.workspace])
    loaded = layers.load(where.root, console)
    report = layers.check(where, loaded, args.as_of or today(), console)
    rules = loaded.workspace.rules if loaded.workspace else ()
    console.write_document(render_hazards(hazard_table(rules, report)))
    return report.exit_code()
