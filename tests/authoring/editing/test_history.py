"""The journal after kills: an entry that was not carried out stands on the other side, wherever it lies in the journal."""

from __future__ import annotations

from stepwell.authoring.editing.history import Entry, change_of, digest, entry_of, history, line_of, made_again, taken_back

A, B, C, D = (f"text {name}\n".encode() for name in "abcd")


def do(before: bytes, after: bytes) -> Entry:
    return Entry(kind="do", change=change_of(before, after))


def undo(entry: Entry) -> Entry:
    return Entry(kind="undo", change=entry.change)


def test_changes_are_taken_back_and_made_again() -> None:
    change = change_of(A, B)
    assert taken_back(B, change) == A
    assert made_again(A, change) == B
    assert taken_back(C, change) is None
    assert made_again(C, change) is None


def test_an_edit_that_was_not_carried_out_does_not_stand_in_the_way() -> None:
    lost = do(B, C)
    for entries in ([do(A, B), lost], [do(A, B), lost, do(B, D), undo(do(B, D))]):
        assert history(entries, digest(B)).undo(digest(B)) == do(A, B).change
    assert history([do(A, B), lost], digest(B)).redo(digest(B)) == lost.change


def test_an_undo_that_was_not_carried_out_leaves_the_edit_done() -> None:
    first = do(A, B)
    assert history([first, undo(first)], digest(B)).undo(digest(B)) == first.change
    both = history([first, undo(first), do(B, C)], digest(C))
    assert both.done == (first.change, do(B, C).change)


def test_a_new_edit_ends_what_could_be_made_again() -> None:
    first = do(A, B)
    found = history([first, undo(first), do(A, C)], digest(C))
    assert (found.undone, found.done) == ((), (do(A, C).change,))


def test_a_line_that_is_not_whole_is_no_entry() -> None:
    line = line_of(do(A, B))
    assert entry_of(line) == do(A, B)
    for cut in range(len(line)):
        assert entry_of(line[:cut]) is None
    assert entry_of(line.replace("text", "test")) is None or "text" not in line
