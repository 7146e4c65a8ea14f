"""What an edit means for the values of a file, apart from how they are written: the measure of every edit of its text."""

from __future__ import annotations

from copy import deepcopy

from stepwell.authoring.editing.edit import Accept, Add, Delete, Edit, EditError, Move, Plain, Put, keys_of, parted

LOST = EditError("The place is not there any more.", "Look at the file as it is now, and do it again.")


def meant(root: Plain, edit: Edit, accepted: dict[str, Plain] | None = None) -> Plain:
    """The values after the edit. ``accepted``: what a proposal gives its step. Raises EditError."""
    root = deepcopy(root)
    match edit:
        case Put():
            item = _mapping(root, edit.at)
            if edit.present:
                item[edit.key] = deepcopy(edit.value)
            else:
                item.pop(edit.key, None)
        case Accept():
            _mapping(root, edit.at).update(accepted or {})
        case Add():
            _insert(_listing(root, edit.to), edit.index, deepcopy(edit.item))
        case Delete():
            _taken(root, edit.at)
        case Move():
            target = _listing(root, edit.to)
            _insert(target, edit.index, _taken(root, edit.at))
    return root


def at_pointer(root: Plain, pointer: str) -> Plain:
    """The value at a pointer. Raises EditError."""
    here = root
    for token in keys_of(pointer):
        if isinstance(here, dict) and token in here:
            here = here[token]
        elif isinstance(here, list) and token.isascii() and token.isdigit() and int(token) < len(here):
            here = here[int(token)]
        else:
            raise LOST
    return here


def _mapping(root: Plain, pointer: str) -> dict[str, Plain]:
    found = at_pointer(root, pointer)
    if not isinstance(found, dict):
        raise LOST
    return found


def _listing(root: Plain, pointer: str) -> list[Plain]:
    found = at_pointer(root, pointer)
    if not isinstance(found, list):
        raise LOST
    return found


def _insert(items: list[Plain], index: int, item: Plain) -> None:
    if not 0 <= index <= len(items):
        raise LOST
    items.insert(index, item)


def _taken(root: Plain, pointer: str) -> Plain:
    head, number = parted(pointer)
    items = _listing(root, head)
    if number >= len(items):
        raise LOST
    if len(items) == 1:
        raise EditError("It stands there alone.", "Add another one first, or take away what it stands in.")
    return items.pop(number)
