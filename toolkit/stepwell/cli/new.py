"""new: a unit's folder, a procedure, a set or a rule to begin with, from a few answers."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable
from pathlib import Path

from stepwell.authoring import starter
from stepwell.authoring.ids import mint
from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.locate import UNIT_FILE, locate_unit
from stepwell.model.workspace import Workspace
from stepwell.source.files import shown

NAME = re.compile(r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*")
KINDS, USES = ("routine", "emergency", "check"), ("read-and-do", "call-and-reply", "do-then-confirm")

Ask = Callable[[str, str], str]


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
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
    _unit_option(procedure)
    procedure.set_defaults(run=run_procedure)
    rig = what.add_parser("rig", help="a set, begun from one that there is")
    rig.add_argument("id", metavar="ID", help="such as adult-va")
    rig.add_argument("--from", dest="source", metavar="RIG", help="a set of the unit or of the tool to begin from")
    rig.add_argument("--title", metavar="TEXT", help="what people call it")
    _unit_option(rig)
    rig.set_defaults(run=run_rig)
    rule = what.add_parser("rule", help="a hazard rule of the unit's own")
    rule.add_argument("id", metavar="NAME", help="what is wrong, such as vent-left-open")
    rule.add_argument("--title", metavar="TEXT", help="what is wrong, as a sentence")
    _unit_option(rule)
    rule.set_defaults(run=run_rule)


def _unit_option(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--unit", default=".", metavar="WORKSPACE", help="the unit's folder (default: this one)")


def run_unit(args: argparse.Namespace, console: Console) -> int:
    """Make the folder; an existing one is never touched."""
    from stepwell.resources import data_dir
    from stepwell.source.write import replace_dir

    folder = Path(args.folder).absolute()
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise UsageProblem(f"{shown(folder)} is there already, and not empty.", "Name a folder that is new.")
    ask = asker(console)
    name = args.name or ask("What is the unit called?", "--name")
    region = args.region or ask("Where is it (eu, uk, us ...)? Cylinders differ.", "--region")
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
    console.note(f"Made {shown(folder)}. Next: go through a set with `stepwell new rig`, then `stepwell new procedure`.")
    return 0


def run_procedure(args: argparse.Namespace, console: Console) -> int:
    """Write procedures/ID.yaml; the procedure loads, prints and is marked as not checked."""
    workspace, root = load_unit(args.unit, console)
    name = named(args.id)
    ask = asker(console)
    rigs = tuple(rig.id for rig in workspace.rigs)
    roles = tuple(role.id for role in workspace.unit.roles)
    people = args.people or ask(f"Who does it? ({', '.join(roles)}; with commas between)", "--people")
    new = starter.NewProcedure(
        id=name,
        title=args.title or ask("What do people call it?", "--title"),
        kind=args.kind or one_of(ask(f"What sort is it? ({', '.join(KINDS)})", "--kind"), KINDS),
        rig=one_of(args.rig or ask(f"Which set is it for? ({', '.join(rigs)})", "--rig"), rigs),
        use=args.use or ("call-and-reply" if "," in people else "read-and-do"),
        people=tuple(one_of(role.strip(), roles) for role in people.split(",") if role.strip()) or roles[:1],
        use_when=args.use_when or ask("When is it taken?", "--use-when"),
        do_not_use_when=args.do_not_use_when or ask("When not?", "--do-not-use-when"),
        step=mint(()),
    )
    _write(root / "procedures" / f"{name}.yaml", starter.procedure_text(new), console)
    return 0


def run_rig(args: argparse.Namespace, console: Console) -> int:
    """Write rigs/ID.yaml, begun from a set of the unit, or else of the tool."""
    from stepwell.resources import data_dir

    root = locate_unit(args.unit)
    name = named(args.id)
    ask = asker(console)
    places = {path.stem: path for folder in (data_dir("protocols"), root) for path in (folder / "rigs").glob("*.yaml")}
    known = tuple(sorted(places))
    source = one_of(args.source or ask(f"Which set is most like it? ({', '.join(known)})", "--from"), known)
    title = args.title or ask("What do people call it?", "--title")
    text = starter.rig_text(places[source].read_text(encoding="utf-8"), name, title)
    _write(root / "rigs" / f"{name}.yaml", text, console)
    return 0


def run_rule(args: argparse.Namespace, console: Console) -> int:
    """Write rules/NAME.yaml with the next free code."""
    workspace, root = load_unit(args.unit, console)
    name = named(args.id)
    if any(rule.name == name for rule in workspace.rules):
        raise UsageProblem(f"There is a rule {name!r} already.", "Give this one a name of its own.")
    title = args.title or asker(console)("What is wrong, in one sentence?", "--title")
    used = {rule.code for rule in workspace.rules}
    code = next(code for n in range(1, 10_000) if (code := f"U{n:03d}") not in used)
    _write(root / "rules" / f"{name}.yaml", starter.rule_text(name, code, title), console)
    return 0


def asker(console: Console) -> Ask:
    """Asks on a terminal; elsewhere the answer must come as a flag, and UsageProblem names it."""

    def ask(question: str, flag: str) -> str:
        if not sys.stdin.isatty() or not console.live:
            raise UsageProblem(f"Not told: {question}", f"Add {flag}.")
        console.write(question + " ")
        answer = sys.stdin.readline().strip()
        if not answer:
            raise UsageProblem("There was no answer.", f"Answer, or add {flag}.")
        return answer

    return ask


def named(text: str) -> str:
    """An id as ids are written. Raises UsageProblem."""
    if not NAME.fullmatch(text) or len(text) > 60:
        likely = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:60]
        raise UsageProblem(f"{text!r} can't be an id.", f"Small letters, digits and hyphens, such as {likely or 'prime'}.")
    return text


def one_of(text: str, known: tuple[str, ...]) -> str:
    """One of a few words. Raises UsageProblem."""
    from stepwell.source.near import did_you_mean

    if text not in known:
        raise UsageProblem(f"There is no {text!r}.", did_you_mean(text, known, what="There are"))
    return text


def load_unit(folder: str, console: Console) -> tuple[Workspace, Path]:
    """The unit in a folder, and where it lies. Raises UsageProblem."""
    from stepwell.cli import layers

    root = locate_unit(folder)
    loaded = layers.load(root, console)
    if loaded.workspace is None:
        raise UsageProblem(f"{shown(root / UNIT_FILE)} can't be read.", f"Run `stepwell check {folder}` first.")
    return loaded.workspace, root


def _write(path: Path, text: str, console: Console) -> None:
    from stepwell.source.write import write_aside

    if path.exists():
        raise UsageProblem(f"{shown(path)} is there already.", "Choose another id.")
    write_aside(path, text.encode())
    console.note(f"Wrote {shown(path)}.")
