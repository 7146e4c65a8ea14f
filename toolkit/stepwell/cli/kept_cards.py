"""The cards that were released, in every language, as the ledger kept their text."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stepwell.model.workspace import Workspace
    from stepwell.publish.shelf import KeptCard


def kept_cards(root: Path, workspace: Workspace, as_of: date) -> tuple[KeptCard, ...]:
    """Every released card whose text was kept and can still be read, oldest first; one per version and language."""
    from stepwell.cli.layers import kinds_of
    from stepwell.ledger.kept import kept
    from stepwell.ledger.standing import ReleaseState, standing
    from stepwell.ledger.store import read_ledger
    from stepwell.publish.sheet_again import sheet_again
    from stepwell.publish.shelf import KeptCard

    words = {ReleaseState.TO_COME: "not yet in force"}
    today = standing(read_ledger(root), kinds_of(workspace), as_of)
    found: dict[tuple[str, str, str], KeptCard] = {}
    for release, language in ((one, code) for one in today.releases for code in one.languages):
        plain = kept(root, release.text_in(language))
        sheet = sheet_again(plain)
        # What it was kept for decides where its page stands.
        if sheet is None or sheet.language != language:
            continue
        now = today.in_force(release.subject)
        found[release.subject, release.version, language] = KeptCard(
            sheet=sheet,
            state=words.get(release.state, release.state.value),
            in_force=release.state is ReleaseState.IN_FORCE,
            effective=release.effective,
            reason=release.withdrawn,
            now=now.version if now and language in now.languages else "",
        )
    return tuple(found.values())
