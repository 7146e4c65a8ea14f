"""Edits found against edits expected: sort, item and field, with what may be named either way."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.compare.edits import Edit, Sort
from tests.compare.edit_text import fresh

_HEADS = {"procedure": "-", "unit": "unit"}


@dataclass(frozen=True)
class Want:
    """One expected edit. ``items`` are the names under which it counts."""

    sort: str
    items: frozenset[str]
    field: str
    weaker: bool


def wanted(line: str) -> Want:
    """``changed d9fw confirm, weaker``."""
    words, _, rest = line.partition(", ")
    sort, item, *field = words.split()
    if sort in ("split", "merged"):
        return Want(sort, frozenset((f"{item} {field[0]}", f"{field[0]} {item}")), "", bool(rest))
    return Want(sort, frozenset(item.split("|")), " ".join(field), bool(rest))


def named(edit: Edit, reminted: bool = False) -> Want:
    """An edit in the same form."""
    kind, _, name = edit.document.partition(" ")
    item = edit.item.replace(" ", "_")
    if edit.sort is Sort.REIDENTIFIED:
        item = "-"
    elif not item:
        whole = bool(edit.lines)
        item = f"{kind}:{name}" if whole or kind == "rule" else _HEADS.get(kind, name)
    elif kind == "rig":
        item = f"{name}/{item}"
    if edit.sort is Sort.MOVED:
        item = "+".join((item, *edit.others))
    if edit.sort in (Sort.SPLIT, Sort.MERGED):
        item = f"{edit.item} {edit.others[0]}"
    if reminted and edit.sort is Sort.ADDED:
        item = next((old for old in (unfresh(item),) if old), item)
    return Want(edit.sort.value, frozenset((item,)), edit.field, bool(edit.weaker))


def unfresh(item: str) -> str:
    """The id as written before all were minted again; only the last three letters can be told."""
    return item[:1] + item[1:][::-1]


def agrees(want: Want, got: Want, *, reminted: bool = False) -> bool:
    """Whether an edit found is the one expected."""
    items = want.items & got.items
    if reminted and want.sort == "added":
        items = frozenset(item for item in want.items if fresh(item)[1:][::-1] == next(iter(got.items))[1:])
    return want.sort == got.sort and bool(items) and want.field == got.field and want.weaker == got.weaker


def compare_lists(wants: list[Want], gots: list[Want], *, reminted: bool = False) -> tuple[int, list[Want], list[Want]]:
    """(how many agree, expected but not found, found but not expected)."""
    left = list(gots)
    missing: list[Want] = []
    for want in wants:
        found = next((got for got in left if agrees(want, got, reminted=reminted)), None)
        if found is None:
            missing.append(want)
        else:
            left.remove(found)
    return len(wants) - len(missing), missing, left
