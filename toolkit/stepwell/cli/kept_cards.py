"""The cards that were released, as the ledger kept their text."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stepwell.model.workspace import Workspace
    from stepwell.publish.shelf import KeptCard


def kept_cards(root: Path, workspace: Workspace, as_of: date) -> tuple[KeptCard, ...]:
    """Every released card whose text was kept and can still be read, oldest first; one per version."""
    from stepwell.cli.layers import kinds_of
    from stepwell.ledger.kept import kept
    from stepwell.ledger.standing import ReleaseState, standing
    from stepwell.ledger.store import read_ledger
    from stepwell.publish.sheet_again import sheet_again
    from stepwell.publish.shelf import KeptCard

    words = {ReleaseState.TO_COME: "not yet in force"}
    today = standing(read_ledger(root), kinds_of(workspace), as_of)
    found: dict[tuple[str, str], KeptCard] = {}
    for release in today.releases:
        plain = kept(root, release.part("text"))
        sheet = sheet_again(plain)
        if sheet is None:
            continue
        now = today.in_force(release.subject)
        found[release.subject, release.version] = KeptCard(
            sheet=sheet,
            state=words.get(release.state, release.state.value),
            in_force=release.state is ReleaseState.IN_FORCE,
            effective=release.effective,
            reason=release.withdrawn,
            now=now.version if now else "",
        )
    return tuple(found.values())
