"""A preview that is killed at any moment loses nothing that was saved before, and undo still leads back to the start."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path
from random import Random

import pytest

from stepwell.authoring.editing.edit import EditError
from stepwell.authoring.editing.history import digest
from stepwell.authoring.preview.saving import Saved, Saving
from stepwell.source.notes import Notes
from stepwell.source.parse import parse
from tests.cli.unit import write_unit


def kills(root: Path, times: int, chance: Random) -> list[int]:
    """Kill the saver at random moments; the number of saves that it had told of each time."""
    path = write_unit(root) / "procedures/right.yaml"
    first = path.read_bytes()
    told: list[int] = []
    for _ in range(times):
        before = digest(path.read_bytes())
        saver = subprocess.Popen(
            [sys.executable, "-m", "tests.authoring.preview.saver", str(root), "right"], stdout=subprocess.PIPE
        )
        assert saver.stdout is not None
        assert saver.stdout.readline() == b"begun\n"
        said = [saver.stdout.readline().decode().strip() for _ in range(chance.randrange(6))]
        time.sleep(chance.uniform(0.0, 0.02))
        saver.kill()
        said += [line.decode() for line in saver.stdout.read().split()]
        saver.wait()
        saver.stdout.close()
        _nothing_lost(path, before, [line for line in said if len(line) == 64])
        told.append(len(said))
    _back_to_the_start(root, first)
    return told


def _nothing_lost(path: Path, before: str, said: list[str]) -> None:
    data = path.read_bytes()
    notes = Notes("")
    assert parse(data, notes) is not None
    assert not notes.findings
    last = said[-1] if said else before
    entries = Saving(path.parents[1], lambda: None).journal.entries("right")
    # What was told is there, or else the very next edit, which the kill let through before it was told.
    after = [entry.change.after for entry in entries if entry.change.before == last]
    assert digest(data) in (last, *after)


def _back_to_the_start(root: Path, first: bytes) -> None:
    saving = Saving(root, lambda: None)
    path = root / "procedures/right.yaml"
    try:
        while True:
            assert isinstance(saving.undo("right", digest(path.read_bytes())), Saved)
    except EditError:
        assert path.read_bytes() == first


def test_a_kill_loses_nothing(tmp_path: Path) -> None:
    assert len(kills(tmp_path, 3, Random(1))) == 3


@pytest.mark.nightly
def test_forty_kills_lose_nothing(tmp_path: Path) -> None:
    told = kills(tmp_path, 40, Random(2))
    assert sum(told) >= 40
