"""The folder itself: what lies where, and what Windows would not bear."""

from __future__ import annotations

import re
import shutil
import stat
import zipfile
from collections.abc import Callable
from pathlib import Path, PurePosixPath

from stepwell import __version__
from stepwell.cli.bundle.python_zip import PythonZip
from stepwell.cli.bundle.texts import START_HERE, STEPWELL_CMD
from stepwell.cli.bundle.wheels import Wheel
from stepwell.cli.failure import UsageProblem
from stepwell.cli.place import MARKER
from stepwell.resources import PACKAGE, data_dir, licence_file

LONGEST = 200
"""Characters of a path inside the folder; Windows bears 259 with the drive and the folder's own place before it."""
DATA = ("schema", "site_templates", "protocols")
_LICENCE = re.compile(r"(licen[cs]e|copying|notice|authors)", re.I)
_RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.I)
_FORBIDDEN = re.compile(r'[<>:"|?*\x00-\x1f]|[. ]$')


def lay_out(folder: Path, python: PythonZip, wheels: tuple[Wheel, ...]) -> None:
    """Fill ``folder``. Raises UsageProblem for an archive that can't be unpacked, or names that Windows would not bear."""
    with zipfile.ZipFile(python.path) as archive:
        _unpack(archive, folder / "python", lambda name: name)
    _write_windows(folder / "python" / f"python{python.tag}._pth", f"python{python.tag}.zip\n.\n..\\site-packages\n")
    packages = folder / "site-packages"
    for wheel in wheels:
        with zipfile.ZipFile(wheel.path) as archive:
            _unpack(archive, packages, _place_in_packages)
    _copy(PACKAGE, packages / "stepwell", leave_out=frozenset({"_data"}))
    for name in DATA:
        _copy(data_dir(name), packages / "stepwell" / "_data" / name)
    _copy(data_dir("protocols"), folder / "protocols")
    _copy(data_dir("schema"), folder / "schema")
    _licences(folder, python, wheels)
    _write_windows(folder / "stepwell.cmd", STEPWELL_CMD)
    _write_windows(folder / "START-HERE.txt", START_HERE.format(version=__version__, python=python.version))
    wrong = not_for_windows(folder)
    if wrong:
        raise UsageProblem(f"The folder would not work on Windows: {wrong[0]}.", "Use other versions of the packages.")


def not_for_windows(folder: Path) -> tuple[str, ...]:
    """What in ``folder`` Windows would not bear, as sentences: links, long or forbidden names, names equal but for case."""
    wrong: list[str] = []
    seen: dict[str, str] = {}
    for path in sorted(folder.rglob("*")):
        inside = path.relative_to(folder).as_posix()
        if path.is_symlink():
            wrong.append(f"{inside} is a link")
        if len(inside) > LONGEST:
            wrong.append(f"{inside} is longer than {LONGEST} characters")
        if _RESERVED.fullmatch(path.name) or _FORBIDDEN.search(path.name):
            wrong.append(f"{inside} is a name that Windows does not allow")
        twin = seen.setdefault(inside.casefold(), inside)
        if twin != inside:
            wrong.append(f"{inside} and {twin} are one name there")
    return tuple(wrong)


def _place_in_packages(name: str) -> str | None:
    """Where a file of a wheel goes; None for scripts, headers and manual pages, which nothing here looks for."""
    first, _, rest = name.partition("/")
    if not first.endswith(".data"):
        return name
    sort, _, inner = rest.partition("/")
    return inner if sort in ("purelib", "platlib") else None


def _unpack(archive: zipfile.ZipFile, into: Path, place: Callable[[str], str | None]) -> None:
    for entry in archive.infolist():
        name = None if entry.is_dir() else place(entry.filename)
        if name is None:
            continue
        parts = PurePosixPath(name).parts
        if name.startswith("/") or ".." in parts or "\\" in name or ":" in name or stat.S_ISLNK(entry.external_attr >> 16):
            raise UsageProblem(f"{archive.filename} holds {name!r}, which leads elsewhere.", "Get that file again.")
        data = archive.read(entry)
        path = into.joinpath(*parts)
        if path.exists() and path.read_bytes() != data:
            raise UsageProblem(f"{archive.filename} would replace {name} of another package.", "Use other versions.")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


def _copy(source: Path, to: Path, leave_out: frozenset[str] = frozenset()) -> None:
    """Copy a folder without compiled files, hidden ones, and what the tool itself once made there."""

    def ignored(at: str, names: list[str]) -> set[str]:
        here = Path(at)
        made = {name for name in names if (here / name / MARKER).is_file()}
        hidden = {name for name in names if name == "__pycache__" or name.startswith(".")}
        return made | hidden | (leave_out & set(names) if here == source else set())

    shutil.copytree(source, to, ignore=ignored, copy_function=shutil.copyfile)


def _licences(folder: Path, python: PythonZip, wheels: tuple[Wheel, ...]) -> None:
    """Every licence text once more in one place, and a list of who is under which."""
    place = folder / "licences"
    lines = [f"stepwell {__version__}: Apache-2.0", f"Python {python.version}: see its text"]
    texts: dict[str, Path] = {f"stepwell-{__version__}/LICENSE": licence_file()}
    own = folder / "python" / "LICENSE.txt"
    if own.is_file():
        texts[f"python-{python.version}/LICENSE.txt"] = own
    for wheel in wheels:
        info = folder / "site-packages" / wheel.info
        found = sorted(path for path in info.rglob("*") if path.is_file() and _LICENCE.match(path.name))
        for path in found:
            inside = path.relative_to(info).as_posix().removeprefix("licenses/")
            texts[f"{wheel.name}-{wheel.version}/{inside}"] = path
        lines.append(f"{wheel.name} {wheel.version}: {wheel.licence}" + ("" if found else " (no text in its wheel)"))
    for name, path in sorted(texts.items()):
        (place / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(path, place / name)
    _write_windows(place / "LIST.txt", "\n".join(lines) + "\n")


def _write_windows(path: Path, text: str) -> None:
    """With the ends of lines that cmd.exe and old editors need."""
    path.write_text(text, encoding="utf-8", newline="\r\n")
