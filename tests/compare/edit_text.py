"""Changes on the text of a file, as an author makes them: words replaced, blocks cut, moved and added, ids minted anew."""

from __future__ import annotations

import re
from textwrap import dedent
from typing import Any

ID = re.compile(r"(?<![\w-])id: ([a-z][a-z0-9]{3})\b")


def changed_text(text: str, changes: list[dict[str, Any]], ids: str = "") -> str | None:
    """The text after all changes; None where the file is removed."""
    for change in changes:
        if change.get("file") == "removed":
            return None
        text = _change(text, change)
    return _with_ids(text, ids)


def fresh(old: str) -> str:
    """The id that stands in the place of ``old`` after all ids were minted again."""
    return "z" + old[1:][::-1]


def _change(text: str, change: dict[str, Any]) -> str:
    if "find" in change:
        return _replace(text, change.get("at"), change["find"], change["put"])
    if "cut" in change:
        start, end = block(text, change["cut"])
        return _joined(text.splitlines(keepends=True), start, end, "")
    if "move" in change:
        names = change["move"] if isinstance(change["move"], list) else [change["move"]]
        taken = ""
        for name in names:
            lines = text.splitlines(keepends=True)
            start, end = block(text, name)
            taken += dedent("".join(lines[start:end]))
            text = _joined(lines, start, end, "")
        return _put(text, change, taken)
    return _put(text, change, change["add"])


def block(text: str, name: str) -> tuple[int, int]:
    """Lines (from, up to) of the item with this id, or of the frame with this title (``stage:Title``)."""
    lines = text.splitlines()
    frame = re.match(r"(stage|any-order|lanes|repeat|hold|choose):(.+)", name)
    if frame:
        start = next(n for n, line in enumerate(lines) if line.strip() == f"- {frame[1]}: {frame[2]}")
    else:
        at = next(n for n, line in enumerate(lines) if re.search(rf"(?<![\w-])id: {name}\b", line))
        start = at
        if not lines[at].lstrip().startswith("- "):
            wide = len(lines[at]) - len(lines[at].lstrip()) - 2
            while not lines[start].startswith(" " * wide + "- "):
                start -= 1
    wide = len(lines[start]) - len(lines[start].lstrip())
    end = start + 1
    while end < len(lines) and (not lines[end].strip() or len(lines[end]) - len(lines[end].lstrip()) > wide):
        end += 1
    return start, end


def _joined(lines: list[str], start: int, end: int, middle: str) -> str:
    return "".join([*lines[:start], middle, *lines[end:]])


def _put(text: str, change: dict[str, Any], taken: str) -> str:
    start, end = block(text, change.get("after") or change["before"])
    lines = text.splitlines(keepends=True)
    wide = len(lines[start]) - len(lines[start].lstrip())
    added = "".join(" " * wide + line if line.strip() else line for line in dedent(taken).splitlines(keepends=True))
    place = end if "after" in change else start
    return _joined(lines, place, place, added if added.endswith("\n") else added + "\n")


def _replace(text: str, at: str | None, find: str, put: str) -> str:
    lines = text.splitlines(keepends=True)
    start, end = block(text, at) if at else (0, len(lines))
    inside = "".join(lines[start:end])
    if find in inside:
        assert inside.count(find) == 1 or at, f"{find!r} stands more than once"
        before, _, after = inside.partition(find)
        if not put and find.endswith("\n") and not find.startswith(" "):
            before = before.rstrip(" ")
        return _joined(lines, start, end, before + put + after)
    return _joined(lines, start, end, _replace_lines(inside, find, put))


def _replace_lines(inside: str, find: str, put: str) -> str:
    """Lines with any common indentation."""
    lines, wanted = inside.splitlines(keepends=True), dedent(find).splitlines()
    for at in range(len(lines) - len(wanted) + 1):
        wide = len(lines[at]) - len(lines[at].lstrip())
        if dedent("".join(lines[at : at + len(wanted)])).splitlines() == wanted or all(
            line.rstrip("\n") == " " * wide + want for line, want in zip(lines[at:], wanted, strict=False)
        ):
            new = "".join(" " * wide + line for line in dedent(put).splitlines(keepends=True))
            return _joined(lines, at, at + len(wanted), new)
        last = lines[at + len(wanted) - 1].rstrip("\n")
        if wanted[:-1] == [line.rstrip("\n")[wide:] for line in lines[at : at + len(wanted) - 1]] and last[wide:].startswith(
            wanted[-1]
        ):
            rest = last[wide + len(wanted[-1]) :] + "\n"
            new = "".join(" " * wide + line for line in dedent(put).splitlines(keepends=True)).rstrip("\n") + rest
            return _joined(lines, at, at + len(wanted), new)
    raise AssertionError(f"{find!r} does not stand there")


def _with_ids(text: str, ids: str) -> str:
    if ids == "new":
        for old in ID.findall(text):
            text = re.sub(rf"\b{old}\b", fresh(old), text)
    elif ids.startswith("swapped"):
        _, one, other = ids.split()
        text = re.sub(rf"\b({one}|{other})\b", lambda found: other if found[1] == one else one, text)
    return text
