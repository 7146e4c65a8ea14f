"""The demo unit with its priming procedure rewritten in places, read from a folder of its own."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from stepwell.source.workspace import Loaded, load_workspace
from tests.source.bench import ROOT

DEMO_PROCEDURE = "prime-adult"
DEMO_RIG = "adult-bedside"


def demo_with(changes: tuple[tuple[str, str], ...]) -> Loaded:
    """The demo's rig and priming procedure with each old text replaced by the new one; an old text must be there once."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        for name in ("unit.yaml", f"rigs/{DEMO_RIG}.yaml", f"procedures/{DEMO_PROCEDURE}.yaml"):
            (root / name).parent.mkdir(exist_ok=True)
            shutil.copy(ROOT / "protocols" / name, root / name)
        path = root / f"procedures/{DEMO_PROCEDURE}.yaml"
        text = path.read_text(encoding="utf-8")
        for old, new in changes:
            assert text.count(old) == 1, (old, text.count(old))
            text = text.replace(old, new)
        path.write_text(text, encoding="utf-8")
        return load_workspace(root)
