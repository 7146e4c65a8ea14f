"""Published examples of edit scripts. Both from memory: the papers could not be looked at here.

The trees are written as bodies of stages and steps; a leaf is a step whose words are its label.
"""

from __future__ import annotations

from dataclasses import replace

from stepwell.compare.between import edits_between
from stepwell.compare.edits import Edit, Sort
from stepwell.model.procedure import Item, Procedure, Stage, Step, Text
from tests import demo
from tests.compare.bench import unit


def leaf(words: str, name: str) -> Step:
    return Step(id=name, who="nurse", say=(Text(words),))


def document(*body: Item) -> Procedure:
    return replace(demo.procedure(), body=body, starts=None)


def script(old: Procedure, new: Procedure) -> list[Edit]:
    found = edits_between(unit(old), unit(new))
    assert found.undisclosed == ()
    return list(found.edits)


def test_chawathe_and_others_1996_a_sentence_comes_one_goes_one_moves() -> None:
    """Chawathe, Rajaraman, Garcia-Molina, Widom: Change detection in hierarchically structured information (SIGMOD 1996).

    From memory: a document D (P (S a, S b, S c), P (S d, S e), P (S f)), in which a sentence moves to another paragraph,
    a paragraph changes its place, a sentence is inserted and one is deleted: insert, delete, move, update and no more.
    """
    a, b, c, d, e, f = (
        leaf(f"Sentence about {word}.", f"{word[0]}1aa") for word in ("ants", "bees", "cats", "dogs", "eels", "fish")
    )
    g = leaf("A quite unlike remark on glue.", "g1aa")
    old = document(Stage(title="First", body=(a, b, c)), Stage(title="Second", body=(d, e)), Stage(title="Third", body=(f,)))
    new = document(Stage(title="First", body=(a, c, g)), Stage(title="Third", body=(f, e)), Stage(title="Second", body=(d,)))
    found = script(old, new)
    told = sorted((edit.sort.value, edit.item) for edit in found)
    assert told in (
        sorted([("removed", "b1aa"), ("added", "g1aa"), ("moved", "e1aa"), ("moved", "stage:Third")]),
        sorted([("removed", "b1aa"), ("added", "g1aa"), ("moved", "e1aa"), ("moved", "stage:Second")]),
    )


def test_zhang_and_shasha_1989_a_node_goes_and_comes_back_above() -> None:
    """Zhang, Shasha: Simple fast algorithms for the editing distance between trees (SIAM J. Comput. 18, 1989).

    From memory, the paper's example: T1 = f(d(a, c(b)), e), T2 = f(c(d(a, b)), e), distance 2: delete the node c, insert
    the node c. That distance knows no moves and no names. Here a titled stage is one thing wherever it stands, so C moves,
    D moves into it, and b moves into D: three edits, none of them a removal that a committee would have to worry about.
    """
    a, b, e = leaf("Alpha is looked at.", "a1aa"), leaf("Bravo is written down.", "b1aa"), leaf("Echo is called.", "e1aa")
    old = document(Stage(title="D", body=(a, Stage(title="C", body=(b,)))), e)
    new = document(Stage(title="C", body=(Stage(title="D", body=(a, b)),)), e)
    found = script(old, new)
    assert [edit.sort for edit in found] == [Sort.MOVED] * 3
    assert not any(edit.weaker for edit in found)


def test_the_longest_increasing_subsequence_moves_as_little_as_can_be() -> None:
    """The textbook sequence 3 1 4 1 5 9 2 6 has an increasing subsequence of 4; of 8 distinct steps so ordered, 4 move."""
    words = ("ants", "bees", "cats", "dogs", "eels", "fish", "geese", "hens")
    steps = [leaf(f"Sentence about {word}.", f"{word[0]}2aa") for word in words]
    order = (2, 0, 3, 1, 4, 7, 5, 6)
    found = script(
        document(Stage(title="X", body=tuple(steps))), document(Stage(title="X", body=tuple(steps[n] for n in order)))
    )
    moved = sum(1 + len(edit.others) for edit in found if edit.sort is Sort.MOVED)
    assert moved == 8 - 5
