"""What is kept beside the entries: the bytes behind the hashes of a release, each under its own SHA-256.

So it can be told later what the verdicts, the rules, the layout and the text were, and not only that they were others.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from pathlib import Path

from stepwell.ledger.canonical import Json, canonical
from stepwell.ledger.problems import KEPT_ALTERED, TEXT_NOT_WHOLE, Problem
from stepwell.ledger.standing import Release
from stepwell.ledger.store import KEPT, SOURCES, folder_of
from stepwell.model.language import MARK
from stepwell.source.write import write_aside


def keep(root: Path, data: Iterable[bytes]) -> None:
    """Keep these bytes; what is kept already stays as it is."""
    for one in data:
        path = _path(root, hashlib.sha256(one).hexdigest())
        if not path.exists():
            write_aside(path, one)


def kept(root: Path, digest: str) -> Json:
    """The value behind a hash; None if it was not kept, or is not what was kept."""
    try:
        data = _path(root, digest).read_bytes()
    except OSError:
        return None
    if hashlib.sha256(data).hexdigest() != digest:
        return None
    found: Json = json.loads(data)
    return found


def keep_sources(root: Path, entry: str, files: Mapping[str, str]) -> None:
    """Keep the unit's files as they were at a release; a file that did not change between releases is kept once."""
    texts = {name: canonical(text) for name, text in files.items()}
    keep(root, texts.values())
    index = {name: hashlib.sha256(data).hexdigest() for name, data in texts.items()}
    write_aside(_index(root, entry), canonical({**index}) + b"\n")


def kept_sources(root: Path, entry: str) -> dict[str, str] | None:
    """The unit's files as they were at a release; None if one was not kept or is not what was kept.

    Nothing signs the list of the files. Who uses them compares what they say with the hashes of the release.
    """
    try:
        index = json.loads(_index(root, entry).read_bytes())
    except (OSError, ValueError):
        return None
    if not isinstance(index, dict):
        return None
    found = {name: kept(root, str(digest)) for name, digest in index.items()}
    return {name: text for name, text in found.items() if isinstance(text, str)} if None not in found.values() else None


def kept_problems(root: Path) -> tuple[Problem, ...]:
    """Files among what is kept that are not what their name says."""
    folder = folder_of(root) / KEPT
    return tuple(
        KEPT_ALTERED.at(f"{KEPT}/{path.name}")
        for path in sorted(folder.glob("*"))
        if path.is_symlink() or not path.is_file() or hashlib.sha256(path.read_bytes()).hexdigest() + ".json" != path.name
    )


def text_problems(root: Path, releases: Iterable[Release]) -> tuple[Problem, ...]:
    """Releases with a card in another language of which nobody can show that its text was translated line by line."""
    return tuple(
        TEXT_NOT_WHOLE.at(release.entry, f"{release.subject} {release.version}, {one.language}.", release.subject)
        for release in releases
        for one in release.prints
        if not _whole(_path(root, one.text), one.text)
    )


def _whole(path: Path, digest: str) -> bool:
    try:
        data = path.read_bytes()
    except OSError:
        return False
    # Canonical JSON leaves the mark as it is, so no text of it can hide behind an escape.
    return hashlib.sha256(data).hexdigest() == digest and MARK.encode() not in data


def _index(root: Path, entry: str) -> Path:
    return folder_of(root) / SOURCES / f"{entry}.json"


def _path(root: Path, digest: str) -> Path:
    return folder_of(root) / KEPT / f"{digest}.json"
