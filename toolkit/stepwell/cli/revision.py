"""From ``OLD`` and ``NEW`` of a comparison to units on disk: folders, files, or what git holds as ``REV:path``."""

from __future__ import annotations

import io
import shutil
import subprocess
import tarfile
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from stepwell.cli.failure import UsageProblem
from stepwell.cli.locate import UNIT_FILE
from stepwell.source.files import FOLDERS, SUFFIX, shown

LEDGER = "ledger"
_TALLEST = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Version:
    """``root`` is the unit's folder, ``file`` the one that was named (None: the whole unit), ``name`` as it was called."""

    name: str
    root: Path
    file: Path | None = None
    made: bool = False
    """The folder was laid out for this comparison and is gone after it."""


def versions(old: str, new: str, room: Path) -> tuple[Version, Version]:
    """Both sides. What is not a unit on disk is laid out in the folder ``room``. Raises UsageProblem."""
    found = [_found(word, room / side) for word, side in ((old, "old"), (new, "new"))]
    for at, word in ((0, old), (1, new)):
        if found[at] is None:
            context = found[1 - at]
            if context is None:
                raise UsageProblem(
                    f"Neither {old} nor {new} lies in a unit's folder.", f"At least one must: no {UNIT_FILE}."
                )
            found[at] = _beside(Path(word), context, room / ("old", "new")[at])
    one, two = found
    assert one is not None
    assert two is not None
    if (one.file is None) != (two.file is None):
        raise UsageProblem(
            f"{old} and {new} are not the same sort of thing.", "Compare two units' folders, or two files of one kind."
        )
    return one, two


def _found(word: str, room: Path) -> Version | None:
    """The version that ``word`` names; None for a file that lies in no unit."""
    path = Path(word)
    if path.exists():
        real = path.resolve()
        root = next((place for place in (real, *real.parents) if (place / UNIT_FILE).is_file()), None)
        if root is None:
            if real.is_dir():
                raise UsageProblem(
                    f"{shown(real)} is not a unit's folder: no {UNIT_FILE}.", f"Name the folder of {UNIT_FILE}."
                )
            return None
        whole = real in (root, root / UNIT_FILE) or real.is_dir()
        if real.is_dir() and real != root:
            raise UsageProblem(f"{word} is only a part of a unit's folder.", f"Name the folder itself: {shown(root)}")
        return Version(name=word, root=root, file=None if whole else real)
    revision, colon, inside = word.partition(":")
    if not colon:
        raise UsageProblem(
            f"There is no file or folder {word}.", "Look at the spelling; a version in git is written REV:path."
        )
    return _from_git(word, revision, inside or ".", room)


def _beside(file: Path, context: Version, room: Path) -> Version:
    """A file from elsewhere, read as if it lay in the other side's unit in the place of the file of the same id."""
    if context.file is None:
        raise UsageProblem(f"{file} is a file that lies in no unit.", "Name the unit's file to compare it with.")
    shutil.copytree(context.root, room, ignore=shutil.ignore_patterns(".git", "out"))
    place = room / context.file.relative_to(context.root)
    shutil.copyfile(file, place)
    return Version(name=str(file), root=room, file=place, made=True)


def _from_git(word: str, revision: str, inside: str, room: Path) -> Version:
    if not revision or revision.startswith("-"):
        raise UsageProblem(f"{word} names no version.", "Write for example HEAD~1:protocols.")
    prefix = _git("rev-parse", "--show-prefix").decode().strip()
    if _git_fails("rev-parse", "--verify", "--quiet", f"{revision}^{{commit}}"):
        raise UsageProblem(f"git knows no version {revision}.", "`git log --oneline` lists them.")
    place = _inside(prefix, inside)
    if place is None:
        raise UsageProblem(f"{inside} leads out of the repository.", "Name a place inside it.")
    sort = _sort(revision, place)
    if sort is None:
        place = PurePosixPath(inside.strip("/"))
        sort = _sort(revision, place)
    if sort is None:
        raise UsageProblem(
            f"In {revision} there is no {inside}.", f"`git ls-tree -r --name-only {revision}` lists what there is."
        )
    root = next((one for one in (place, *place.parents)[:_TALLEST] if _sort(revision, one / UNIT_FILE) == "blob"), None)
    if root is None:
        raise UsageProblem(f"In {revision} {inside} lies in no unit's folder: no {UNIT_FILE}.", "Name the unit's folder.")
    tree = revision if str(root) == "." else f"{revision}:{root}"
    room.mkdir(parents=True)
    # From a folder below the top, git would look for that folder inside the tree.
    top = _git("rev-parse", "--show-toplevel").decode().strip()
    with tarfile.open(fileobj=io.BytesIO(_git("-C", top, "archive", "--format=tar", tree))) as archive:
        archive.extractall(room, filter="data")
    whole = place in (root, root / UNIT_FILE) or sort == "tree"
    if sort == "tree" and place != root:
        raise UsageProblem(f"{word} is only a part of a unit's folder.", f"Name the folder itself: {revision}:{root}")
    return Version(name=word, root=room, file=None if whole else room / place.relative_to(root), made=True)


def _inside(prefix: str, inside: str) -> PurePosixPath | None:
    parts: list[str] = []
    for part in PurePosixPath(prefix, inside.replace("\\", "/")).parts:
        if part == "..":
            if not parts:
                return None
            parts.pop()
        elif part not in (".", "/"):
            parts.append(part)
    return PurePosixPath(*parts)


def _sort(revision: str, place: PurePosixPath) -> str | None:
    """``tree`` or ``blob``; None if there is nothing."""
    name = "" if str(place) == "." else str(place)
    done = _run("cat-file", "-t", f"{revision}:{name}")
    return done.stdout.decode().strip() if done.returncode == 0 else None


def _git_fails(*words: str) -> bool:
    return _run(*words).returncode != 0


def _git(*words: str) -> bytes:
    """What git prints. Raises UsageProblem with git's own words where it fails."""
    done = _run(*words)
    if done.returncode:
        said = done.stderr.decode(errors="replace").strip().splitlines()
        reason = said[-1].removeprefix("fatal: ") if said else "it failed without a word"
        raise UsageProblem(
            f"git could not do it: {reason}.", "Stand in the folder of the unit, or name two folders instead."
        )
    return done.stdout


def _run(*words: str) -> subprocess.CompletedProcess[bytes]:
    try:
        return subprocess.run(["git", *words], capture_output=True, check=False, stdin=subprocess.DEVNULL)
    except OSError as error:
        raise UsageProblem(
            "git is not there, so a version in git can't be read.",
            "Install git, or put the older version into a folder and name that.",
        ) from error


def other_files(root: Path) -> tuple[tuple[str, str], ...]:
    """What else lies in the unit's folder: (name, text). What is not text stands as its size and hash."""
    from hashlib import sha256

    found: list[tuple[str, str]] = []
    for path in sorted(root.rglob("*")):
        name = path.relative_to(root)
        if not path.is_file() or path.is_symlink() or any(part.startswith(".") for part in name.parts) or _read(name):
            continue
        if name.parts[0] == LEDGER:
            continue  # a record of what was agreed to, and nothing to agree to; `verify` tells of it
        if any((place / ".made-by-stepwell").exists() for place in path.parents if place.is_relative_to(root)):
            continue
        data = path.read_bytes()
        try:
            text = data.decode("utf-8")
        except UnicodeDecodeError:
            text = f"{len(data)} bytes, sha256 {sha256(data).hexdigest()}"
        found.append((name.as_posix(), text))
    return tuple(found)


def _read(name: Path) -> bool:
    """Whether the loader reads it, so that it is compared as what it says."""
    if str(name) in (UNIT_FILE, "terms.yaml", "accepted.yaml"):
        return True
    return len(name.parts) == 2 and name.parts[0] in FOLDERS and name.suffix == SUFFIX
