"""new: a unit's folder, a procedure, a set or a rule to begin with, from a few answers."""

from __future__ import annotations

import argparse
import re
from pathlib import Path

from stepwell.authoring import starter
from stepwell.authoring.ids import mint
from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.locate import UNIT_FILE, locate_unit
from stepwell.cli.questions import Choice, Questions
from stepwell.model.workspace import Workspace
from stepwell.source.files import shown

NAME = re.compile(r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*")
KINDS, USES = ("routine", "emergency", "check"), ("read-and-do", "call-and-reply", "do-then-confirm")
_KINDS = (
    Choice(word="routine", told="planned work, on as many pages as it needs"),
    Choice(word="emergency", told="one side of A4, taken when something goes wrong"),
    Choice(word="check", told="things that are looked at, such as at the change of shift"),
)
_USES = (
    Choice(word="read-and-do", told="each line is read, then done"),
    Choice(word="call-and-reply", told="one reads aloud, another does and answers"),
    Choice(word="do-then-confirm", told="done from memory, then read and confirmed"),
)
_REGIONS = (Choice(word="eu"), Choice(word="uk"), Choice(word="us"), Choice(word="other"))


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    from stepwell.cli import new_rule

    parser = verbs.add_parser("new", help="begin a unit's folder, a procedure, a set or a rule", description=__doc__)
    what = parser.add_subparsers(title="what", metavar="WHAT", required=True)
    unit = what.add_parser("unit", help="a unit's folder with sets to adapt")
    unit.add_argument("folder", metavar="FOLDER", help="the folder to make")
    unit.add_argument("--name", metavar="TEXT", help="the unit's name")
    unit.add_argument("--region", metavar="WORD", help="where it is, such as eu, uk or us; cylinders differ")
    unit.add_argument("--example", action="store_true", help="with the procedures of the invented unit as well")
    unit.set_defaults(run=run_unit)
    procedure = what.add_parser("procedure", help="a procedure with its first line")
    procedure.add_argument("id", metavar="ID", help="such as prime-adult")
    for flag, told in (
        ("--title", "what people call it"),
        ("--rig", "the set it is for"),
        ("--use-when", "when to take the card"),
        ("--do-not-use-when", "when not to"),
    ):
        procedure.add_argument(flag, metavar="TEXT", help=told)
    procedure.add_argument("--kind", choices=KINDS, help="what sort of procedure it is")
    procedure.add_argument("--use", choices=USES, help="how the card is used")
    procedure.add_argument("--people", metavar="ROLES", help="roles, with commas between")
    unit_option(procedure)
    procedure.set_defaults(run=run_procedure)
    rig = what.add_parser("rig", help="a set, begun from one that there is")
    rig.add_argument("id", metavar="ID", help="such as adult-va")
    rig.add_argument("--from", dest="source", metavar="RIG", help="a set of the unit or of the tool to begin from")
    rig.add_argument("--title", metavar="TEXT", help="what people call it")
    unit_option(rig)
    rig.set_defaults(run=run_rig)
    new_rule.add(what, unit_option)


def unit_option(parser: argparse.ArgumentParser) -> None:
    """``--unit WORKSPACE``."""
    parser.add_argument("--unit", default=".", metavar="WORKSPACE", help="the unit's folder (default: this one)")


def run_unit(args: argparse.Namespace, console: Console) -> int:
    """Make the folder; an existing one is never touched."""
    from stepwell.resources import data_dir
    from stepwell.source.write import replace_dir

    folder = Path(args.folder).absolute()
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise UsageProblem(f"{shown(folder)} is there already, and not empty.", "Name a folder that is new.")
    ask = Questions(console=console)
    ask.need(name=args.name, region=args.region)
    name = args.name or ask.text("What is the unit called?", "--name")
    region = args.region or ask.one("Where is it? Cylinders differ.", "--region", _REGIONS, None)
    demo = data_dir("protocols")

    def build(aside: Path) -> None:
        files = {UNIT_FILE: starter.unit_text(name, region), "terms.yaml": starter.terms_text()}
        for part in ("procedures", "rigs", "rules", "translations", "ledger", "records"):
            (aside / part).mkdir()
        for path in sorted((demo / "rigs").glob("*.yaml")):
            text = path.read_text(encoding="utf-8")
            title = next(line.removeprefix("title: ") for line in text.splitlines() if line.startswith("title: "))
            files[f"rigs/{path.name}"] = starter.rig_text(text, path.stem, title)
        if args.example:
            files[UNIT_FILE] = (demo / UNIT_FILE).read_text(encoding="utf-8")
            for path in sorted((demo / "procedures").glob("*.yaml")):
                files[f"procedures/{path.name}"] = path.read_text(encoding="utf-8").replace("../../schema/", "../schema/")
        (aside / "schema").mkdir()
        for path in sorted(data_dir("schema").glob("*.json")):
            files[f"schema/{path.name}"] = path.read_text(encoding="utf-8")
        for relative, text in files.items():
            (aside / relative).write_text(text, encoding="utf-8", newline="\n")

    replace_dir(folder, build)
    sets = sum(1 for _ in (folder / "rigs").glob("*.yaml"))
    console.note(f"Made {shown(folder)}, with {sets} sets to adapt in its folder rigs.")
    console.note(
        "Next, in that folder: stepwell new rig our-set (begin with the set most like yours), stepwell rig (draw it),"
        " stepwell new procedure prime or stepwell import FILE.docx."
    )
    return 0


def run_procedure(args: argparse.Namespace, console: Console) -> int:
    """Write procedures/ID.yaml; the procedure loads, prints and is marked as not checked."""
    workspace, root = load_unit(args.unit, console)
    name = named(args.id)
    ask = Questions(console=console)
    if (root / "procedures" / f"{name}.yaml").exists():
        raise UsageProblem(f"{shown(root / 'procedures' / f'{name}.yaml')} is there already.", "Choose another id.")
    ask.need(
        people=args.people,
        title=args.title,
        kind=args.kind,
        rig=args.rig,
        use_when=args.use_when,
        do_not_use_when=args.do_not_use_when,
    )
    title = args.title or ask.text("What do people call it?", "--title")
    kind = ask.one("What sort is it?", "--kind", _KINDS, args.kind)
    rig = ask.one("Which set is it for?", "--rig", _of_rigs(workspace), args.rig)
    roles = tuple(Choice(word=role.id, told=role.label) for role in workspace.unit.roles)
    people = ask.several("Who does it?", "--people", roles, args.people) or (roles[0].word,)
    usual = "call-and-reply" if len(people) > 1 else "read-and-do"
    new = starter.NewProcedure(
        id=name,
        title=title,
        kind=kind,
        rig=rig,
        use=ask.one("How is the card used?", "--use", _USES, args.use, usual),
        people=people,
        use_when=args.use_when or ask.text("When is it taken?", "--use-when"),
        do_not_use_when=args.do_not_use_when or ask.text("When must it not be used?", "--do-not-use-when"),
        step=mint(()),
    )
    write_new(root / "procedures" / f"{name}.yaml", starter.procedure_text(new), console)
    return 0


def run_rig(args: argparse.Namespace, console: Console) -> int:
    """Write rigs/ID.yaml, begun from a set of the unit, or else of the tool."""
    from stepwell.resources import data_dir

    root = locate_unit(args.unit)
    name = named(args.id)
    ask = Questions(console=console)
    ask.need(**{"from": args.source}, title=args.title)
    places = {path.stem: path for folder in (data_dir("protocols"), root) for path in (folder / "rigs").glob("*.yaml")}
    known = tuple(Choice(word=stem, told=_title(path)) for stem, path in sorted(places.items()))
    source = ask.one("Which set is most like yours?", "--from", known, args.source)
    title = args.title or ask.text("What do people call yours?", "--title")
    text = starter.rig_text(places[source].read_text(encoding="utf-8"), name, title)
    path = root / "rigs" / f"{name}.yaml"
    write_new(path, text, console)
    console.note(f"Go through it part by part beside the real set. stepwell rig {shown(path)} draws it.")
    return 0


def _title(path: Path) -> str:
    """The title of a rig's file, as it stands there."""
    lines = path.read_text(encoding="utf-8", errors="replace").splitlines()
    return next((line.removeprefix("title:").strip(" \"'") for line in lines if line.startswith("title:")), "")


def _of_rigs(workspace: Workspace) -> tuple[Choice, ...]:
    return tuple(Choice(word=rig.id, told=rig.title) for rig in workspace.rigs)


def named(text: str) -> str:
    """An id as ids are written. Raises UsageProblem."""
    if not NAME.fullmatch(text) or len(text) > 60:
        likely = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:60]
        raise UsageProblem(f"{text!r} can't be an id.", f"Small letters, digits and hyphens, such as {likely or 'prime'}.")
    return text


def load_unit(folder: str, console: Console) -> tuple[Workspace, Path]:
    """The unit in a folder, and where it lies. Raises UsageProblem."""
    from stepwell.cli import layers

    root = locate_unit(folder)
    loaded = layers.load(root, console)
    if loaded.workspace is None:
        raise UsageProblem(f"{shown(root / UNIT_FILE)} can't be read.", f"Run `stepwell check {folder}` first.")
    return loaded.workspace, root


def write_new(path: Path, text: str, console: Console) -> None:
    """Write a file that must not be there yet. Raises UsageProblem."""
    from stepwell.source.write import write_aside

    if path.exists():
        raise UsageProblem(f"{shown(path)} is there already.", "Choose another id.")
    write_aside(path, text.encode())
    console.note(f"Wrote {shown(path)}.")
