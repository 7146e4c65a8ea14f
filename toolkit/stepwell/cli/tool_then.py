"""The tool as it was when the cards of a unit's folder were released: what the ledger kept of it."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stepwell.ledger.standing import Release
    from stepwell.model.workspace import Workspace
    from stepwell.publish.bound import Tool


def tool_of(root: Path, release: Release) -> Tool | None:
    """The tool that a card was released with; None if it was not kept, or is not what was kept."""
    from stepwell.ledger.kept import kept
    from stepwell.publish.bound import Tool

    rules, layout = (kept(root, release.part(name)) for name in ("catalogue", "template"))
    if not isinstance(rules, dict) or not isinstance(layout, dict):
        return None
    return Tool(
        version=release.part("tool"),
        catalogue={name: str(text) for name, text in rules.items()},
        template={name: str(digest) for name, digest in layout.items()},
    )


def tool_then(root: Path, workspace: Workspace, as_of: date) -> Tool | None:
    """The tool of the newest release that is in force in this folder; None if there is none."""
    from stepwell.cli.layers import kinds_of
    from stepwell.ledger.standing import ReleaseState, standing
    from stepwell.ledger.store import read_ledger

    today = standing(read_ledger(root), kinds_of(workspace), as_of)
    found = [one for one in today.releases if one.state is ReleaseState.IN_FORCE]
    return tool_of(root, found[-1]) if found else None


def laid_out(catalogue: dict[str, str], folder: Path) -> Path:
    """The files of a catalogue of rules, written to a folder of their own."""
    folder.mkdir(parents=True)
    for name, text in catalogue.items():
        if Path(name).name == name:
            (folder / name).write_text(text, encoding="utf-8")
    return folder
