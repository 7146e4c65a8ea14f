"""repair: look for the smallest change to a procedure that mends what was found, and write it if asked to."""

from __future__ import annotations

import argparse
import os
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from stepwell.cli import layers, options
from stepwell.cli.cache import cache_of
from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.layers_repair import slip_repairs, with_repairs
from stepwell.cli.locate import Where, locate
from stepwell.cli.today import today
from stepwell.diagnostics.finding import Finding
from stepwell.render.text.repairs import repair_lines
from stepwell.report.keep import Cache
from stepwell.report.results import CheckReport
from stepwell.source.files import shown

if TYPE_CHECKING:
    from stepwell.diagnostics.repair import Repair

ROUNDS = 8
"""So often is a file mended and checked again."""


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("repair", help="look for the smallest change that mends what was found", description=__doc__)
    parser.add_argument("file", metavar="FILE", help="the file of a procedure")
    parser.add_argument("--rule", metavar="NAME", help="mend only what breaks this rule")
    parser.add_argument(
        "--slips", action="store_true", help="also look for what would catch a fatal slip that nothing catches"
    )
    parser.add_argument("--apply", action="store_true", help="write the repair into the file, and go on until none is left")
    options.add_as_of(parser)
    options.add_fail_on(parser)
    options.add_cache(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Print what was found with its repairs; the exit code is that of the check, after the last one was written."""
    where = locate([args.file])
    if where.files is None:
        raise UsageProblem(f"{args.file} is a folder.", "Name the file of a procedure.")
    cache = cache_of(args.cache, args.no_cache, os.environ)
    as_of = args.as_of or today()
    written = 0
    for _ in range(ROUNDS):
        report, slips = _looked(where, as_of, console, cache, args)
        found = [one for one in (*report.findings, *slips) if one.repair is not None or one.unmended]
        first = next((one.repair for one in found if one.repair is not None and one.repair.edits), None)
        if not args.apply or first is None:
            break
        console.write("\n".join(repair_lines(_mended(found, first), _text(first), console.look)) + "\n\n")
        _write(first)
        written += 1
    for repair in dict.fromkeys(one.repair for one in found):
        groups = [_mended(found, repair)] if repair is not None else [(one,) for one in found if one.repair is None]
        for group in groups:
            console.write("\n".join(repair_lines(group, _text(repair), console.look)) + "\n\n")
    console.note(_sum(report, args.file, args.rule, written, args.apply, found))
    return report.exit_code(args.fail_on)


def _looked(
    where: Where, as_of: date, console: Console, cache: Cache, args: argparse.Namespace
) -> tuple[CheckReport, tuple[Finding, ...]]:
    """The report with its repairs, and the slips with theirs if they were asked for and no order is unsafe as it is."""
    loaded = layers.load(where.root, console)
    report = layers.check(where, loaded, as_of, console, cache, bites=False)

    def asked(one: Finding) -> bool:
        return args.rule is None or args.rule in (one.rule, one.code)

    report = with_repairs(report, where.root, loaded.workspace, as_of, console, asked)
    slips: tuple[Finding, ...] = ()
    if args.slips and loaded.workspace is not None and not any(entry.against for entry in report.procedures):
        checked = {entry.procedure for entry in report.procedures if entry.checked}
        for procedure in loaded.workspace.procedures:
            if procedure.id in checked:
                slips += slip_repairs(where.root, loaded.workspace, procedure, as_of, console)
    return report, tuple(filter(asked, slips))


def _mended(found: list[Finding], repair: Repair) -> tuple[Finding, ...]:
    """The findings that this repair mends together."""
    return tuple(one for one in found if one.repair == repair)


def _text(repair: Repair | None) -> str:
    edits = () if repair is None else repair.edits
    return Path(edits[0].span.path).read_bytes().decode("utf-8") if edits else ""


def _write(repair: Repair) -> None:
    from stepwell.authoring.repair_file import applied
    from stepwell.source.write import write_aside

    path = Path(repair.edits[0].span.path)
    write_aside(path, applied(_text(repair), repair.edits).encode())


def _sum(report: CheckReport, file: str, rule: str | None, written: int, apply: bool, found: list[Finding]) -> str:
    name = shown(Path(file))
    left = sum(1 for one in report.findings if not one.waived)
    said = []
    if written:
        said.append(f"Wrote {written} repair{'s' if written > 1 else ''} into {name} and checked it again.")
    if not found and not written:
        about = f"of {rule} " if rule else ""
        said.append(f"Nothing {about}was found in {name} that a repair is looked for.")
    said.append(f"{left} finding{'' if left == 1 else 's'} left in {name}.")
    if found and not apply and any(one.repair is not None and one.repair.edits for one in found):
        said.append("Nothing was written. With --apply the repair is written into the file.")
    return " ".join(said)
