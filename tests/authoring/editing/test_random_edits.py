"""Edits by chance: every file can be read by two readers, comments survive, what was not touched is as it was, and undo
restores the bytes."""

from __future__ import annotations

import json
import re
from collections import Counter
from datetime import date
from functools import lru_cache
from pathlib import Path
from random import Random

import pytest
import yaml

from stepwell.authoring.editing.edit import Delete, Edit
from stepwell.authoring.editing.history import digest
from stepwell.authoring.editing.layout import Lines, lines_of
from stepwell.authoring.preview.changes import change
from stepwell.authoring.preview.desk import Desk
from stepwell.source.nodes import plain_value
from stepwell.source.notes import Notes
from stepwell.source.parse import parse
from tests.authoring.editing.random_edits import PROCEDURES, as_asked, commented, edit_of

AS_OF = date(2026, 11, 28)

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


def run(root: Path, seed: int, edits: int, verbs: tuple[str, ...] = ("undo", "redo")) -> Counter[str]:
    """Edits of one procedure through what the page's requests reach; then all are taken back, and made again."""
    chance = Random(seed)
    path = root / "procedures/some.yaml"
    path.parent.mkdir(parents=True)
    first = commented(chance.choice(PROCEDURES), chance)
    path.write_bytes(first)
    desk = Desk(root=root, as_of=AS_OF)
    told: Counter[str] = Counter()
    made = 0
    data = first
    for _ in range(edits):
        edit = edit_of(data, chance)
        name = type(edit).__name__
        found = change(desk, "edit/some", as_asked(edit, digest(data)))
        answer = json.loads(found.body)
        after = path.read_bytes()
        if found.status != 200:
            assert (found.status, after) == (422, data), answer
            told[f"refused {name}: {re.sub('`.*`', '...', answer['why'])}"] += 1
            continue
        told[name] += 1
        made += after != data
        _look(data, after, edit)
        data = after
    told["tried"] += edits
    _there_and_back(desk, path, {"undo": first, "redo": data}, made, verbs)
    return told


def _there_and_back(desk: Desk, path: Path, wanted: dict[str, bytes], made: int, verbs: tuple[str, ...]) -> None:
    for verb in verbs:
        for _ in range(made):
            asked = json.dumps({"base": digest(path.read_bytes())}).encode()
            assert change(desk, f"{verb}/some", asked).status == 200
        assert path.read_bytes() == wanted[verb]


def _look(before: bytes, after: bytes, edit: Edit) -> None:
    notes = Notes("")
    assert parse(after, notes) is not None, edit
    assert not notes.findings, (edit, notes.findings)
    yaml.load(after, Loader=yaml.CSafeLoader)
    lost = comments(before) - comments(after)
    if isinstance(edit, Delete):
        assert len(before) > len(after)
    else:
        assert not lost, edit


@pytest.mark.parametrize("seed", range(10))
def test_edits_by_chance(seed: int, tmp_path: Path) -> None:
    told = run(tmp_path, seed, 30, ("undo",))
    assert sum(told[name] for name in ("Put", "Add", "Move", "Delete")) > 15, told


@pytest.mark.nightly
def test_ten_thousand_edits(tmp_path: Path) -> None:
    told: Counter[str] = Counter()
    for seed in range(100, 350):
        told += run(tmp_path / str(seed), seed, 40)
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
