"""The ledger's folder: one file per entry, never changed, and the released cards as bytes."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable
from pathlib import Path

from stepwell.ledger.chain import Chain, build_chain
from stepwell.ledger.entry import Entry, EntryProblemError, read_entry, written
from stepwell.ledger.problems import ENTRY_ALTERED, FILE_STRANGE, NOT_BOUND, Problem
from stepwell.ledger.standing import Release
from stepwell.source.write import write_aside

FOLDER = "ledger"
CARDS = "cards"
KEPT = "kept"
SOURCES = "sources"
_NAME = re.compile(r"\d{8}-\d{6}-([a-z-]+)-([0-9a-f]{12})\.json")


def folder_of(root: Path) -> Path:
    """Where the ledger of a unit's folder lies."""
    return root / FOLDER


def file_name(entry: Entry) -> str:
    """The name of an entry's file: time, kind and the beginning of its id."""
    return f"{entry.time:%Y%m%d-%H%M%S}-{entry.kind}-{entry.id[:12]}.json"


def read_ledger(root: Path) -> Chain:
    """Every entry of a unit's ledger; what is no entry, or was altered, is a problem and left out."""
    found: list[Entry] = []
    problems: list[Problem] = []
    folder = folder_of(root)
    for path in sorted(folder.glob("*")) if folder.is_dir() else ():
        if path.name in (CARDS, KEPT, SOURCES) or path.name.startswith("."):
            continue
        if path.suffix != ".json" or path.is_symlink() or not path.is_file():
            problems.append(FILE_STRANGE.at(path.name))
            continue
        try:
            entry = read_entry(path.read_bytes())
        except (OSError, EntryProblemError) as error:
            problems.append(ENTRY_ALTERED.at(path.name, f"{str(error)[:1].upper()}{str(error)[1:]}."))
            continue
        if path.name != file_name(entry):
            problems.append(ENTRY_ALTERED.at(path.name, "Its name is not the one it was written under."))
            continue
        found.append(entry)
    chain = build_chain(found)
    return Chain(entries=chain.entries, problems=(*problems, *chain.problems))


def append(root: Path, entry: Entry) -> Path:
    """Write a new entry. Raises FileExistsError if the very same one is there."""
    path = folder_of(root) / file_name(entry)
    if path.exists():
        raise FileExistsError(path)
    write_aside(path, written(entry))
    return path


def card_path(root: Path, release: Release, language: str = "en") -> Path:
    """Where the kept PDF of a release lies."""
    return folder_of(root) / CARDS / card_name(release.subject, release.version, release.pdf_in(language), language)


def card_name(subject: str, version: str, pdf_hash: str, language: str = "en") -> str:
    """The name under which a released PDF is kept."""
    said = "" if language == "en" else f"-{language}"
    return f"{subject}-{version}{said}-{pdf_hash[:12]}.pdf"


def keep_card(root: Path, subject: str, version: str, pdf: bytes, language: str = "en") -> Path:
    """Keep the bytes of a card that is being released."""
    path = folder_of(root) / CARDS / card_name(subject, version, hashlib.sha256(pdf).hexdigest(), language)
    write_aside(path, pdf)
    return path


def kept_card(root: Path, release: Release, language: str = "en") -> bytes | None:
    """The bytes of a released card; None if they are missing or not those that were released."""
    try:
        data = card_path(root, release, language).read_bytes()
    except OSError:
        return None
    return data if hashlib.sha256(data).hexdigest() == release.pdf_in(language) else None


def card_problems(root: Path, releases: Iterable[Release]) -> tuple[Problem, ...]:
    """Releases whose kept card is missing or altered."""
    return tuple(
        NOT_BOUND.at(release.entry, f"{_named(release, language)}.", release.subject)
        for release in releases
        for language in release.languages
        if release.pdf_in(language) and kept_card(root, release, language) is None
    )


def _named(release: Release, language: str) -> str:
    return f"{release.subject} {release.version}" + ("" if language == "en" else f" in the language {language}")
