"""A priming procedure in long forms, rewritten in places and read from a folder of its own."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from stepwell.source.workspace import Loaded, load_workspace
from tests.source.bench import HERE

PRIMING = "prime-adult"
SET = "adult-bedside"


def long_with(changes: tuple[tuple[str, str], ...]) -> Loaded:
    """The folder ``long`` with each old text of its procedure replaced by the new one; an old text must be there once."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        for name in ("unit.yaml", f"rigs/{SET}.yaml", f"procedures/{PRIMING}.yaml"):
            (root / name).parent.mkdir(exist_ok=True)
            shutil.copy(HERE / "long" / name, root / name)
        path = root / f"procedures/{PRIMING}.yaml"
        text = path.read_text(encoding="utf-8")
        for old, new in changes:
            assert text.count(old) == 1, (old, text.count(old))
            text = text.replace(old, new)
        path.write_text(text, encoding="utf-8")
        return load_workspace(root)
