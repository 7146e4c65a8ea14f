"""Saves edits to a unit until it is killed; prints the hash of each version once it is surely saved."""

from __future__ import annotations

import sys
from pathlib import Path

from stepwell.authoring.editing.edit import Put
from stepwell.authoring.editing.history import digest
from stepwell.authoring.preview.saving import Saved, Saving


def main(root: Path, name: str) -> None:
    saving = Saving(root, lambda: None)
    base = digest((root / f"procedures/{name}.yaml").read_bytes())
    print("begun", flush=True)
    for number in range(100_000):
        words = f"Wait for the {number}th time{', and look again' * (number % 7)}."
        found = saving.edit(name, base, Put(at="/body/3", key="say", value=words), words)
        assert isinstance(found, Saved)
        base = found.digest
        print(base, flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2])
