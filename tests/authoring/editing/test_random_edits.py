"""Edits by chance: every file can be read by two readers, comments survive, what was not touched is as it was, and undo
restores the bytes."""

from __future__ import annotations

import re
from collections import Counter
from functools import lru_cache
from random import Random

import pytest
import yaml

from stepwell.authoring.editing.apply import applied
from stepwell.authoring.editing.edit import Delete, Edit, EditError
from stepwell.authoring.editing.layout import Lines, lines_of
from stepwell.authoring.editing.splice import difference
from stepwell.source.nodes import plain_value
from stepwell.source.notes import Notes
from stepwell.source.parse import parse
from tests.authoring.editing.random_edits import PROCEDURES, commented, edit_of

MARK = re.compile(r"# (?:above|behind) \d+$", re.M)


@lru_cache(maxsize=4)
def comments(data: bytes) -> Counter[str]:
    """The comments by another reader: PyYAML's scanner says where tokens stand, and a comment lies between them."""
    text = data.decode()
    loader = yaml.SafeLoader(text)
    inside: list[tuple[int, int]] = []
    while loader.check_token():
        token = loader.get_token()
        if isinstance(token, yaml.ScalarToken):
            inside.append((token.start_mark.index, token.end_mark.index))
    marks = list(MARK.finditer(text))
    return Counter(m[0] for m in marks if not any(start <= m.start() < end for start, end in inside))


def undone(before: bytes, after: bytes) -> bytes:
    """The bytes before, from those after and the one stretch that differs."""
    old, new = before.decode(), after.decode()
    back = difference(new, old)
    return (new[: back.start] + back.text + new[back.end :]).encode()


def run(seed: int, edits: int) -> Counter[str]:
    chance = Random(seed)
    data = commented(chance.choice(PROCEDURES), chance)
    told: Counter[str] = Counter()
    while told["tried"] < edits:
        told["tried"] += 1
        edit = edit_of(data, chance)
        name = type(edit).__name__
        try:
            after = applied(data, edit)
        except EditError as problem:
            told[f"refused {name}: {re.sub('`.*`', '...', problem.message)}"] += 1
            continue
        told[name] += 1
        _look(data, after, edit)
        data = after
        if told["tried"] % 40 == 0:
            data = commented(chance.choice(PROCEDURES), chance)
    return told


def _look(before: bytes, after: bytes, edit: Edit) -> None:
    notes = Notes("")
    assert parse(after, notes) is not None, edit
    assert not notes.findings, (edit, notes.findings)
    yaml.load(after, Loader=yaml.CSafeLoader)
    kept = comments(after)
    lost = comments(before) - kept
    if isinstance(edit, Delete):
        assert len(before) > len(after)
    else:
        assert not lost, edit
    assert undone(before, after) == before


@pytest.mark.parametrize("seed", range(10))
def test_edits_by_chance(seed: int) -> None:
    told = run(seed, 30)
    made = sum(told[name] for name in ("Put", "Add", "Move", "Delete"))
    assert made > 15, told


@pytest.mark.nightly
def test_ten_thousand_edits() -> None:
    told: Counter[str] = Counter()
    for seed in range(100, 200):
        told += run(seed, 100)
        print(seed, dict(told), flush=True)
    assert told["tried"] == 10_000
    assert min(told[name] for name in ("Put", "Add", "Move", "Delete")) > 300


def test_the_comments_of_the_layout_are_those_of_the_other_reader() -> None:
    for path in PROCEDURES:
        data = commented(path, Random(path.name))
        root = parse(data, Notes(""))
        assert root is not None
        found: Lines = lines_of(data.decode(), root)
        assert Counter(hit[0] for one in found.comments for hit in MARK.finditer(one.text)) == comments(data)
        assert plain_value(root)
