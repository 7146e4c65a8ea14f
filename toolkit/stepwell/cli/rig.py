"""rig: draw a set while its file is being written, say what is open or missing, lay out its inspection sheet."""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from stepwell.cli import options
from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.locate import UNIT_FILE
from stepwell.cli.today import today
from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.source.files import shown

if TYPE_CHECKING:
    from stepwell.model.rig import Rig


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("rig", help="draw a set, and say what is open or missing on it", description=__doc__)
    parser.add_argument("paths", nargs="*", metavar="FILE", help="a rig's file, or a unit's folder (default: this folder)")
    options.add_out(parser, "out/rigs")
    options.add_as_of(parser)
    options.add_fail_on(parser)
    parser.add_argument("--no-sheet", action="store_true", help="draw only; lay out no inspection sheet")
    parser.set_defaults(run=run)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sign:
    """What the foot of an inspection sheet says of the unit."""

    unit: str
    notice: str


def run(args: argparse.Namespace, console: Console) -> int:
    """Look at each rig; the exit code is that of what was found."""
    found: list[Finding] = []
    for path in _files(args.paths or ["."]):
        found += _one(path, Path(args.out).absolute(), args, console)
    if any(finding.unusable for finding in found):
        return 2
    return 1 if any(finding.severity >= args.fail_on for finding in found) else 0


def _one(path: Path, out: Path, args: argparse.Namespace, console: Console) -> tuple[Finding, ...]:
    from stepwell.authoring.rig_picture import rig_picture
    from stepwell.render.text.chains import chain_lines
    from stepwell.render.text.findings import finding_lines
    from stepwell.report.rig_survey import survey
    from stepwell.source.half_rig import read_half_rig
    from stepwell.source.write import write_aside

    console.progress(f"Reading {shown(path)} ...")
    half = read_half_rig(path)
    look, rig = console.look, half.rig
    lines: list[str] = []
    told = list(half.findings)
    files: list[Path] = []
    if rig is not None:
        lines += [look.paint(f"{rig.id}: {rig.title}", "strong"), "", *chain_lines(rig, look), ""]
        picture = rig_picture(rig, whole=half.whole)
        told += [*picture.findings, *survey(rig)]
        if picture.svg is not None:
            files.append(out / f"{rig.id or path.stem}.svg")
            write_aside(files[-1], picture.svg.encode())
        if half.whole and not args.no_sheet:
            files.append(out / f"{rig.id}-inspection.pdf")
            write_aside(files[-1], _sheet(path, rig, args.as_of or today()))
    for finding in told:
        lines += [*finding_lines(finding, look), ""]
    console.write("\n".join(line.rstrip() for line in (lines if look.full else _plain(lines))) + "\n")
    console.note(_sum(path, half.whole, rig is not None, told, files))
    return tuple(told)


def _plain(lines: list[str]) -> list[str]:
    from stepwell.render.text.wrap import plain_ascii

    return [plain_ascii(line) for line in lines]


def _sum(path: Path, whole: bool, readable: bool, told: list[Finding], files: list[Path]) -> str:
    wrote = f" Wrote {' and '.join(shown(file) for file in files)}." if files else ""
    if not readable:
        return f"{shown(path)} can't be read yet, so nothing is drawn."
    if not whole and not files:
        return f"There is no chain in {shown(path)} that could be drawn yet; what is wrong is told above."
    if not whole:
        told_above = f"What can be read of {shown(path)} is drawn; the rest is told above."
        return f"{told_above} No inspection sheet until it is whole.{wrote}"
    serious = sum(finding.severity >= Severity.SERIOUS for finding in told)
    if told:
        return f"{len(told)} to look at, {serious} of them serious.{wrote}"
    return f"Nothing is open, dangling or missing that the tool can see. Only a real set shows whether it is right.{wrote}"


def _sheet(path: Path, rig: Rig, as_of: date) -> bytes:
    """The inspection sheet with the unit's name, where the file lies in a unit that can be read.

    It is in English, as the file is: a set that is being written is not translated yet.
    """
    from stepwell.model.language import ENGLISH
    from stepwell.render.sheets.inspection import inspection
    from stepwell.render.sheets.press import press

    sign = _sign(path)
    return press(inspection(rig, sign.unit, sign.notice, ENGLISH, as_of), as_of=as_of).pdf


def _sign(path: Path) -> _Sign:
    from stepwell.source.workspace import load_workspace

    root = next((place for place in path.resolve().parents if (place / UNIT_FILE).is_file()), None)
    loaded = None if root is None else load_workspace(root).workspace
    if loaded is None:
        return _Sign(unit="(no unit)", notice="")
    unit = loaded.unit
    return _Sign(unit=unit.name, notice=unit.notice)


def _files(paths: list[str]) -> tuple[Path, ...]:
    found: list[Path] = []
    for name in paths:
        path = Path(name)
        if path.is_dir():
            folder = path / "rigs" if (path / "rigs").is_dir() else path
            here = sorted(folder.glob("*.yaml"))
            if not here or not ((path / UNIT_FILE).is_file() or folder.name == "rigs"):
                raise UsageProblem(
                    f"There is no rig in {shown(path)}.", "Name a rig's file, or begin one with stepwell new rig."
                )
            found += here
        elif path.is_file():
            found.append(path)
        else:
            raise UsageProblem(f"There is no file or folder {name}.", "Look at the spelling, and where you are.")
    return tuple(found)
