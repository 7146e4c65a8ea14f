"""explain: what a rule, finding, verb, short form, fact, part kind, formula or unit of measure means."""

from __future__ import annotations

import argparse
from pathlib import Path

from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.locate import UNIT_FILE
from stepwell.model.rule import Rule
from stepwell.render.text.wrap import plain_ascii, wrap


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("explain", help="say what a rule, verb, fact or part kind means", description=__doc__)
    parser.add_argument("name", nargs="?", metavar="NAME", help="a name or a code; without one, all names are listed")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Print the entry, or all of them where a verb and a fact share a name."""
    from stepwell.cli.names import entries
    from stepwell.source.near import did_you_mean

    known = entries(_own_rules())
    if args.name is None:
        lines = [line for entry in known for line in _listed(f"{entry.what} {entry.names[0]}", entry.summary, console)]
    else:
        asked = args.name.strip().casefold()
        found = [entry for entry in known if asked in (name.casefold() for name in entry.names)]
        if not found:
            names = (name for entry in known for name in entry.names)
            raise UsageProblem(f"There is nothing called {args.name!r}.", did_you_mean(args.name, names, most=8))
        lines = [line for entry in found for line in (*entry.lines(console.look), "")][:-1]
    text = "\n".join(line.rstrip() for line in lines) + "\n"
    console.write(text if console.look.full else plain_ascii(text))
    return 0


def _listed(name: str, summary: str, console: Console) -> tuple[str, ...]:
    return wrap(summary, console.look.width, f"{name}: ", "    ")


def _own_rules() -> tuple[Rule, ...]:
    """The rules of the unit in whose folder the tool was started, if it was."""
    from stepwell.source.workspace import load_workspace

    root = next((p for p in (Path.cwd(), *Path.cwd().parents) if (p / UNIT_FILE).is_file()), None)
    loaded = load_workspace(root) if root else None
    return loaded.workspace.rules if loaded and loaded.workspace else ()
