"""words: hand every text that a reader sees to the translator, and say how far the translation has come."""

from __future__ import annotations

import argparse
from collections import Counter
from pathlib import Path

from stepwell.cli import layers, options
from stepwell.cli.console import Console
from stepwell.cli.failure import UsageProblem
from stepwell.cli.locate import locate_unit
from stepwell.model.texts import PlacedText, texts_of
from stepwell.model.workspace import Workspace
from stepwell.source.files import shown
from stepwell.source.merge_po import merge
from stepwell.source.po_file import PoFile, PoProblemError, parse_po, po_text
from stepwell.source.read_unit import LANGUAGE
from stepwell.source.translations import translation_path
from stepwell.source.write import write_aside

_STATES = ("translated", "to confirm", "missing")


def add(verbs: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the verb."""
    parser = verbs.add_parser("words", help="hand the texts to a translator, and tell how far that is", description=__doc__)
    options.add_unit(parser)
    parser.add_argument(
        "--language", type=_code, metavar="CODE", help="one language, such as de (default: those of unit.yaml but English)"
    )
    parser.set_defaults(run=run)


def run(args: argparse.Namespace, console: Console) -> int:
    """Write translations/CODE.po anew with what was translated kept in it, and report on each procedure."""
    root = locate_unit(args.workspace)
    loaded = layers.load(root, console)
    workspace = loaded.workspace
    if workspace is None or loaded.failed:
        raise UsageProblem(
            f"Some of {shown(root)} can't be read, so its texts are not known.",
            f"Run `stepwell check {args.workspace}` and mend it first. Nothing was written.",
        )
    wanted = [args.language] if args.language else [code for code in workspace.unit.languages if code != "en"]
    if not wanted:
        raise UsageProblem(
            "unit.yaml lists no language but English.", "Write `languages: [en, de]` there, or name one with --language."
        )
    for code in wanted:
        _one(root, code, workspace, console)
    return 0


def _one(root: Path, code: str, workspace: Workspace, console: Console) -> None:
    path = translation_path(root, code)
    texts = texts_of(workspace)
    before = path.read_text(encoding="utf-8") if path.is_file() else ""
    file = merge(_read(path, before, code), texts, code)
    after = po_text(file)
    if after != before:
        write_aside(path, after.encode())
    console.note(f"{shown(path)}: {'as it was' if after == before else 'written'}.")
    for owner, title in _owners(workspace):
        _tell(title, _count(file, texts, owner), console)
    gone = sum(one.obsolete for one in file.entries)
    if gone:
        console.note(f"{gone} translations are of texts that are no longer there; they are kept at the end of the file.")


def _read(path: Path, text: str, code: str) -> PoFile:
    try:
        file = parse_po(text)
    except PoProblemError as problem:
        raise UsageProblem(
            f"{shown(path)}:{problem.line}: {problem.message}", f"{problem.mend} Nothing was written."
        ) from problem
    if file.language and file.language != code:
        raise UsageProblem(
            f"{shown(path)} says that it is in the language {file.language}.", "Rename it. Nothing was written."
        )
    return file


def _owners(workspace: Workspace) -> list[tuple[str, str]]:
    return [*((one.id, one.id) for one in workspace.procedures), ("", "parts, sets, roles and places")]


def _count(file: PoFile, texts: tuple[PlacedText, ...], owner: str) -> Counter[str]:
    by_key = {(one.context, one.english): one for one in file.entries if not one.obsolete}
    found: Counter[str] = Counter()
    for context, english in dict.fromkeys((one.place.context, one.words) for one in texts if one.place.owner == owner):
        entry = by_key[context, english]
        found["missing" if not entry.words else "to confirm" if entry.fuzzy else "translated"] += 1
    return found


def _tell(title: str, counted: Counter[str], console: Console) -> None:
    console.note(f"  {title}: " + ", ".join(f"{counted[state]} {state}" for state in _STATES))


def _code(text: str) -> str:
    if not LANGUAGE.fullmatch(text) or text == "en":
        raise argparse.ArgumentTypeError(f"{text!r} is no code of a language to translate into, such as de")
    return text
