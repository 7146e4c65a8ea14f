"""import: a draft procedure from a Word document or a Markdown file; also turns on actions that were proposed."""

from __future__ import annotations

import argparse
import re
from pathlib import Path
from typing import TYPE_CHECKING

from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.new import KINDS, load_unit, named
from stepwell.cli.questions import one_of
from stepwell.source.files import shown

if TYPE_CHECKING:
    from stepwell.model.rig import Rig
    from stepwell.model.workspace import Workspace


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("import", help="make a draft from a Word document or Markdown", description=__doc__)
    parser.add_argument("file", metavar="FILE", help="a .docx or .md; with --accept, a draft of the unit")
    parser.add_argument("--unit", default=".", metavar="WORKSPACE", help="the unit's folder (default: this one)")
    parser.add_argument("--id", metavar="ID", help="the procedure's id (default: from the file's name)")
    parser.add_argument("--rig", metavar="RIG", help="the set it is for; needed if the unit has several")
    parser.add_argument("--kind", choices=KINDS, default="routine", help="what sort of procedure it is")
    parser.add_argument("--people", metavar="ROLES", help="roles, with commas between; the first does what names nobody")
    parser.add_argument("--card", metavar="FILE", help="also print the draft as a card, into this PDF")
    parser.add_argument("--accept", metavar="all|IDS", help="turn on proposed actions of these lines in the draft FILE")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Write procedures/ID.yaml and the report imports/ID.md; nothing that is there is overwritten."""
    if args.accept is not None:
        return _accept(Path(args.file), args.accept, console)
    from stepwell.authoring.blocks import UnreadableError
    from stepwell.authoring.draft_text import Head
    from stepwell.authoring.importing import import_document
    from stepwell.authoring.people import People
    from stepwell.source.write import write_aside

    data = _bytes(Path(args.file))
    workspace, root = load_unit(args.unit, console)
    roles = tuple(role.id for role in workspace.unit.roles)
    people = tuple(one_of(one.strip(), roles) for one in (args.people or "").split(",") if one.strip()) or roles[:1]
    rig = _rig(args.rig, workspace)
    name = named(args.id) if args.id else _id(Path(args.file).stem)
    path, beside = root / "procedures" / f"{name}.yaml", root / "imports" / f"{name}.md"
    for one in (path, beside):
        if one.exists():
            raise UsageProblem(f"{shown(one)} is there already.", "Choose another id with --id.")
    if args.card is not None and Path(args.card).exists():
        raise UsageProblem(f"{shown(Path(args.card))} is there already.", "Name another file with --card.")
    if any(procedure.id == name for procedure in workspace.procedures):
        raise UsageProblem(f"There is a procedure {name!r} already.", "Choose another id with --id.")
    head = Head(id=name, source=Path(args.file).name, kind=args.kind, rig=rig.id, people=people)
    try:
        made = import_document(head.source, data, head, People(roles=workspace.unit.roles, usual=people[0]), rig)
    except UnreadableError as problem:
        raise UsageProblem(str(problem), problem.mend) from problem
    write_aside(path, made.text.encode())
    write_aside(beside, made.report.encode())
    console.write(made.report if console.look.full else made.report.encode("ascii", "replace").decode())
    console.note(f"Wrote {shown(path)}, and this report as {shown(beside)}. Next: stepwell check {shown(path)}")
    if args.card is not None:
        _print(Path(args.card), root, name, console)
    return 0


def _print(card: Path, root: Path, name: str, console: Console) -> None:
    """The draft as a card. There are no actions in it yet, so there is no order to search."""
    from stepwell.cli import layers
    from stepwell.cli.today import today
    from stepwell.report.results import CheckReport
    from stepwell.source.write import write_aside

    workspace, as_of = layers.load(root, console).workspace, today()
    if workspace is None:
        raise UsageProblem("The draft was written, but the unit can't be read.", "Run stepwell check on the unit.")
    unchecked = CheckReport(as_of=as_of, procedures=(), findings=())
    (sheet,) = layers.sheets(workspace, unchecked, as_of, only=(name,))
    made = layers.card(sheet, as_of, workspace, unchecked)
    write_aside(card, made.pdf)
    pages = "1 page" if made.pages == 1 else f"{made.pages} pages"
    console.note(f"Printed it as {shown(card)}, {pages}: a draft, and it says that its order is not checked.")


def _accept(path: Path, wanted: str, console: Console) -> int:
    from stepwell.authoring.proposals import accept
    from stepwell.source.write import write_aside

    ids = None if wanted.strip() == "all" else frozenset(one.strip() for one in wanted.split(",") if one.strip())
    try:
        text = _bytes(path).decode("utf-8")
    except UnicodeDecodeError as error:
        raise UsageProblem(f"{shown(path)} is not a draft.", "Name a file in procedures/ that import wrote.") from error
    new, done = accept(text, ids)
    missing = sorted((ids or frozenset()) - set(done))
    if missing or not done:
        told = f"No action is proposed for {', '.join(missing)}." if missing else "There is no proposal in this file."
        raise UsageProblem(told, "The ids stand in the report and in the draft; nothing was changed.")
    write_aside(path, new.encode())
    console.note(
        f"Turned on {len(done)} of the proposed actions: {', '.join(done)}. Read each line again; then say in `starts` and"
        " `ends` from which state to which it leads, and run stepwell check."
    )
    return 0


def _bytes(path: Path) -> bytes:
    from stepwell.authoring.docx_package import MOST_BYTES

    try:
        with path.open("rb") as stream:
            return stream.read(MOST_BYTES + 1)
    except IsADirectoryError as error:
        raise UsageProblem(f"{shown(path)} is a folder.", "Name a document.") from error
    except OSError as error:
        raise UsageProblem(f"{shown(path)} can't be read: {error.strerror}.", "Look at the name and the folder.") from error


def _id(stem: str) -> str:
    plain = re.sub(r"[^a-z0-9]+", "-", stem.lower()).strip("-")[:60].rstrip("-")
    return named(plain if plain[:1].isalpha() else f"p-{plain}".rstrip("-"))


def _rig(name: str | None, workspace: Workspace) -> Rig:
    rigs = {rig.id: rig for rig in workspace.rigs}
    if name is None and len(rigs) != 1:
        what = f"The unit has several sets: {', '.join(rigs)}." if rigs else "The unit has no set that can be read."
        raise UsageProblem(what, "Say with --rig which one the document is for." if rigs else "Run stepwell check first.")
    return rigs[one_of(name, tuple(rigs)) if name is not None else next(iter(rigs))]
