"""A repair written into the file of its procedure: only the lines that it is about change, comments and layout stay."""

from __future__ import annotations

import difflib
import re
import shutil
import tempfile
from pathlib import Path

from stepwell.authoring.file_items import FileItem, find_item, line_behind
from stepwell.authoring.step_text import NoTextError, Numbers, condition_text, said_text, step_lines
from stepwell.diagnostics.repair import TextEdit
from stepwell.diagnostics.span import Span
from stepwell.model.procedure import Procedure
from stepwell.repairs.changes import AddCheck, AddOrder, AddStep, AddToHold, Change, MoveStep
from stepwell.source.files import FOLDERS, load_file
from stepwell.source.nodes import Entry, Listing, Mapping, Node
from stepwell.source.workspace import load_workspace

_BEHIND_LINE = re.compile(r"(?<=\n)")


class NotWritableError(Exception):
    """The file is not written in a way that the change can be put into; says why."""


def edits_for(
    root: Path, file: Path, wanted: Procedure, changes: tuple[Change, ...], numbers: Numbers
) -> tuple[TextEdit, ...]:
    """The edits of ``file``, in the unit's folder ``root``, that make it the procedure ``wanted``.

    The edited text is read back before it is returned. Raises NotWritableError where that is not possible.
    """
    data = file.read_bytes()
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        raise NotWritableError("the file is not written in UTF-8") from None
    new = text
    for change in changes:
        new = _written(root, file, new, change, numbers)
    edits = _edits(load_file(file, "procedure", root.resolve()).notes.path, text, new)
    _read_back(root, file, applied(text, edits), wanted)
    return edits


def applied(text: str, edits: tuple[TextEdit, ...]) -> str:
    """The text with the edits made. Raises NotWritableError where one lies outside of it."""
    lines = _lines(text)
    for edit in reversed(edits):
        first, last = edit.span.line - 1, edit.span.end_line - 1
        if last > len(lines):
            raise NotWritableError("the file has changed since it was read")
        lines[first:last] = [edit.text]
    return "".join(lines)


def _lines(text: str) -> list[str]:
    """Lines with their ends; nothing but a line feed ends one, as in the places that the loader tells."""
    return [line for line in _BEHIND_LINE.split(text) if line]


def _edits(path: str, old: str, new: str) -> tuple[TextEdit, ...]:
    """Whole lines that give way to others; an edit that only adds has an empty span."""
    before, after = _lines(old), _lines(new)
    matched = difflib.SequenceMatcher(None, before, after, autojunk=False)
    return tuple(
        TextEdit(
            span=Span(path=path, line=first + 1, column=1, end_line=last + 1, end_column=1), text="".join(after[start:end])
        )
        for kind, first, last, start, end in matched.get_opcodes()
        if kind != "equal"
    )


def _read_back(root: Path, file: Path, text: str, wanted: Procedure) -> None:
    """Read the unit with the new text in the place of the old, and compare."""
    with tempfile.TemporaryDirectory() as name:
        aside = Path(name) / "unit"
        aside.mkdir()
        for folder in FOLDERS:
            if (root / folder).is_dir():
                shutil.copytree(root / folder, aside / folder)
        for single in root.glob("*.yaml"):
            shutil.copyfile(single, aside / single.name)
        (aside / file.resolve().relative_to(root.resolve())).write_bytes(text.encode())
        read = load_workspace(aside)
        cards = () if read.workspace is None else read.workspace.procedures
        same = next((one for one in cards if one.id == wanted.id), None)
    if same is None or same.body != wanted.body:
        raise NotWritableError("the file uses short forms or a layout that the change can't be written into")


def _written(root: Path, file: Path, text: str, change: Change, numbers: Numbers) -> str:
    """The text with one change in it."""
    lines = _lines(text)
    tree = _tree(root, file, text)
    end = "\r\n" if lines and lines[0].endswith("\r\n") else "\n"
    if lines and not lines[-1].endswith("\n"):
        lines[-1] += end
    try:
        match change:
            case AddStep():
                beside = _item(tree, lines, change.anchor)
                made = [" " * beside.indent + line + end for line in step_lines(change.step, numbers)]
                _insert(lines, beside, change.before, made)
            case MoveStep():
                _move(tree, lines, change)
            case AddOrder():
                item = _item(tree, lines, change.step)
                _append(lines, item, "after", change.other, ("do", "at-once", "say"), end)
            case AddCheck():
                item = _item(tree, lines, change.step)
                had = item.node.get("expect") is not None
                _append(lines, item, "expect", condition_text(change.condition), ("do", "at-once", "say"), end)
                if not had:
                    _behind(
                        lines, item, f"if-not: {said_text(change.otherwise.words)}", "do", "at-once", "say", extra=1, end=end
                    )
            case AddToHold():
                item = _item(tree, lines, change.hold)
                _append(lines, item, "until", condition_text(change.condition), (), end)
    except NoTextError as error:
        raise NotWritableError(f"the change can't be put into few words: {error}") from None
    return "".join(lines)


def _tree(root: Path, file: Path, text: str) -> Node:
    with tempfile.TemporaryDirectory() as name:
        aside = Path(name).resolve() / file.name
        aside.write_bytes(text.encode())
        found = load_file(aside, "procedure", aside.parent).root
    if found is None:
        raise NotWritableError("the file can't be read")
    return found


def _item(tree: Node, lines: list[str], name: str) -> FileItem:
    found = find_item(tree, lines, name)
    if found is None:
        raise NotWritableError(f"“{name}” does not stand in the file as an item of its own")
    return found


def _insert(lines: list[str], beside: FileItem, before: bool, made: list[str]) -> None:
    at = beside.start if before else beside.end
    lines[at:at] = made


def _move(tree: Node, lines: list[str], change: MoveStep) -> None:
    moving, beside = _item(tree, lines, change.step), _item(tree, lines, change.anchor)
    block = [_shifted(line, beside.indent - moving.indent) for line in lines[moving.start : moving.end]]
    gone = moving
    while gone.alone and gone.around is not None and gone.around.node is not beside.node:
        gone = gone.around
    if gone.start <= beside.start < gone.end:
        raise NotWritableError(f"“{change.step}” can't be moved to where it stands")
    at = beside.start if change.before else beside.end
    if at <= gone.start:
        del lines[gone.start : gone.end]
        lines[at:at] = block
    else:
        lines[at:at] = block
        del lines[gone.start : gone.end]


def _shifted(line: str, by: int) -> str:
    if not line.strip():
        return line
    return " " * by + line if by > 0 else line[min(-by, len(line) - len(line.lstrip(" "))) :]


def _append(lines: list[str], item: FileItem, key: str, value: str, behind: tuple[str, ...], end: str) -> None:
    """One more value of a key that takes one or a list; a key that is not there goes behind one of ``behind``."""
    entry = item.node.get(key)
    if entry is None:
        text = f"{key}: [{value}]" if key == "after" else f"{key}: {value}"
        _behind(lines, item, text, *behind, end=end)
    elif isinstance(entry.value, Listing) and not _bracketed(lines, entry.value):
        last = entry.value.items[-1]
        first = entry.value.items[0]
        dash = lines[first.span.line - 1].index("-")
        lines.insert(line_behind(last, lines, dash), " " * dash + f"- {value}" + end)
    else:
        _into(lines, entry, value)


def _into(lines: list[str], entry: Entry, value: str) -> None:
    """One more value on the same line."""
    span = entry.value.span
    many = isinstance(entry.value, Listing)
    if isinstance(entry.value, Mapping) and not entry.value.flow:
        raise NotWritableError(f"`{entry.key}` is written over several lines")
    line, at = lines[span.end_line - 1], span.end_column - 1
    lines[span.end_line - 1] = f"{line[: at - 1]}, {value}{line[at - 1 :]}" if many else f"{line[:at]}, {value}]{line[at:]}"
    if not many:
        line, at = lines[span.line - 1], span.column - 1
        lines[span.line - 1] = f"{line[:at]}[{line[at:]}"


def _bracketed(lines: list[str], node: Node) -> bool:
    return lines[node.span.line - 1][node.span.column - 1 :].startswith("[")


def _behind(lines: list[str], item: FileItem, text: str, *keys: str, end: str, extra: int = 0) -> None:
    """A line of its own behind the first of these keys that is there, and ``extra`` lines further down."""
    found = next((entry for key in keys if (entry := item.node.get(key)) is not None), None)
    if found is None or item.node.flow:
        raise NotWritableError("the step stands in braces on one line")
    lines.insert(
        line_behind(found.value, lines, found.key_span.column - 1) + extra, " " * (found.key_span.column - 1) + text + end
    )
