"""What the addresses that change something answer."""

from __future__ import annotations

from stepwell.authoring.editing.edit import Add, EditError, Plain
from stepwell.authoring.editing.outline import every_row, outline
from stepwell.authoring.ids import mint
from stepwell.authoring.preview.answers import NOT_HERE, Answer, as_json, refused
from stepwell.authoring.preview.asked import Asked, AskedError, asked
from stepwell.authoring.preview.desk import Desk
from stepwell.authoring.preview.saving import Conflict, Saved
from stepwell.authoring.preview.snapshot import procedure_files
from stepwell.source.notes import Notes
from stepwell.source.parse import parse

NEW = "+"
"""Stands in a new item where an id is to be minted."""


def change(desk: Desk, path: str, body: bytes) -> Answer:
    """Carry out a request to ``edit/NAME``, ``undo/NAME`` or ``redo/NAME``."""
    verb, _, name = path.partition("/")
    if verb not in ("edit", "undo", "redo") or name not in procedure_files(desk.root):
        return NOT_HERE
    try:
        wanted = asked(body)
        minted: list[str] = []
        if verb == "edit":
            found = _edit(desk, name, wanted, minted)
        else:
            found = (desk.saving.undo if verb == "undo" else desk.saving.redo)(name, wanted.base)
    except AskedError as problem:
        return refused(400, str(problem))
    except EditError as problem:
        return refused(422, problem.message, mend=problem.mend)
    except (OSError, KeyError) as error:
        why = getattr(error, "strerror", None) or "it is not there any more"
        return refused(500, f"The file could not be written: {why}.", mend="Nothing was changed. Try again.")
    if isinstance(found, Conflict):
        why = "The file was changed elsewhere since this page showed it. Nothing was overwritten."
        return refused(409, why, mine=found.mine, theirs=found.theirs, digest=found.digest)
    return as_json({"digest": found.digest, "what": found.what, "minted": minted})


def _edit(desk: Desk, name: str, wanted: Asked, minted: list[str]) -> Saved | Conflict:
    edit = wanted.edit
    if edit is None:
        raise AskedError("There is no edit in the request.")
    if isinstance(edit, Add):
        used = _used(desk, name)
        edit = Add(to=edit.to, index=edit.index, item=_with_ids(edit.item, used, minted))
    return desk.saving.edit(name, wanted.base, edit, wanted.what)


def _used(desk: Desk, name: str) -> set[str]:
    """Every id of the procedure, and those that its journal tells of: an id is never used again."""
    path = procedure_files(desk.root)[name]
    rows = every_row(outline(parse(path.read_bytes(), Notes(""))))
    told = " ".join(f"{entry.change.old} {entry.change.new}" for entry in desk.saving.journal.entries(name))
    return {row.id for row in rows if row.id} | {word for word in told.replace(",", " ").split() if len(word) == 4}


def _with_ids(item: Plain, used: set[str], minted: list[str]) -> Plain:
    if isinstance(item, list):
        return [_with_ids(one, used, minted) for one in item]
    if not isinstance(item, dict):
        return item
    made: dict[str, Plain] = {}
    for key, value in item.items():
        if key == "id" and value == NEW:
            name = mint(used)
            used.add(name)
            minted.append(name)
            made[key] = name
        else:
            made[key] = _with_ids(value, used, minted)
    return made
