"""Which wheels a Windows PC needs: pip chooses the versions, the markers are read as Windows would read them.

``pip download --platform`` chooses files for Windows but still reads markers such as ``platform_system == "Windows"``
for the machine that it runs on. So its answer is gone through again, and what only Windows needs is asked for as well.
"""

from __future__ import annotations

import subprocess
import sys
import zipfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from email.parser import HeaderParser
from importlib.util import find_spec
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from stepwell.cli.failure import UsageProblem

ROUNDS = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Wheel:
    """A wheel on disk; ``name`` is normalised, ``info`` its ``.dist-info`` folder, ``licence`` what its metadata say."""

    path: Path
    name: str
    version: str
    info: str
    requires: tuple[str, ...]
    licence: str


def folder_of_wheels(path: Path) -> Path:
    """The folder of ``--wheels``. Raises UsageProblem."""
    if not path.is_dir():
        raise UsageProblem(f"There is no folder {path}.", "Name the folder with the wheels, or say --download.")
    return path.resolve()


def resolve(roots: Iterable[str], python: str, source: Path | None, room: Path) -> tuple[Wheel, ...]:
    """The wheels that ``roots`` need on 64-bit Windows with CPython ``python``, sorted by name.

    They are put into ``room``; from the folder ``source``, or if that is None by pip with the user's own settings.
    Raises UsageProblem if one is not to be had.
    """
    environment = windows(python)
    asked = [_plain(each) for root in roots if _applies(each := Requirement(root), environment, frozenset())]
    for number in range(ROUNDS):
        into = room / f"round-{number}"
        _download(asked, python, source, into)
        wheels = {wheel.name: wheel for wheel in map(read_wheel, sorted(into.glob("*.whl")))}
        kept, missing = closure(asked, wheels, environment)
        if not missing:
            return tuple(wheels[name] for name in sorted(kept))
        asked += [each for each in missing if each not in asked]
    raise UsageProblem("pip found no set of wheels that fits together on Windows.", f"Not settled: {', '.join(missing)}.")


def closure(
    roots: Iterable[str], wheels: Mapping[str, Wheel], environment: Mapping[str, str]
) -> tuple[frozenset[str], tuple[str, ...]]:
    """The names that ``roots`` reach on Windows, and the requirements that ``wheels`` do not meet."""
    waiting = [Requirement(root) for root in roots]
    seen: set[tuple[str, frozenset[str]]] = set()
    missing: set[str] = set()
    while waiting:
        wanted = waiting.pop()
        name, extras = canonicalize_name(wanted.name), frozenset(wanted.extras)
        wheel = wheels.get(name)
        if wheel is None or not wanted.specifier.contains(wheel.version, prereleases=True):
            missing.add(_plain(wanted))
        if wheel is None or (name, extras) in seen:
            continue
        seen.add((name, extras))
        waiting += [each for text in wheel.requires if _applies(each := Requirement(text), environment, extras)]
    return frozenset(name for name, _ in seen), tuple(sorted(missing))


def windows(python: str) -> dict[str, str]:
    """The markers of CPython ``python`` on 64-bit Windows."""
    return {
        "implementation_name": "cpython",
        "implementation_version": f"{python}.0",
        "os_name": "nt",
        "platform_machine": "AMD64",
        "platform_python_implementation": "CPython",
        "platform_release": "10",
        "platform_system": "Windows",
        "platform_version": "10.0",
        "python_full_version": f"{python}.0",
        "python_version": python,
        "sys_platform": "win32",
    }


def read_wheel(path: Path) -> Wheel:
    """What a wheel says of itself. Raises UsageProblem if it is none."""
    try:
        with zipfile.ZipFile(path) as archive:
            (place,) = (name for name in archive.namelist() if name.count("/") == 1 and name.endswith(".dist-info/METADATA"))
            head = HeaderParser().parsestr(archive.read(place).decode("utf-8"))
    except (ValueError, zipfile.BadZipFile) as error:
        raise UsageProblem(f"{path.name} is not a wheel.", "Get it again.") from error
    named = [line.rpartition(":: ")[2] for line in head.get_all("Classifier", []) if line.startswith("License ::")]
    short = str(head["License"] or "").strip()
    return Wheel(
        path=path,
        name=canonicalize_name(str(head["Name"])),
        version=str(head["Version"]),
        info=place.partition("/")[0],
        requires=tuple(map(str, head.get_all("Requires-Dist", []))),
        # Some put the whole text into the short field.
        licence=str(head["License-Expression"] or "")
        or ", ".join(named)
        or (short if 0 < len(short) < 80 else "see its text"),
    )


def _applies(wanted: Requirement, environment: Mapping[str, str], extras: frozenset[str]) -> bool:
    if wanted.marker is None:
        return True
    return any(wanted.marker.evaluate({**environment, "extra": extra}) for extra in ("", *sorted(extras)))


def _plain(wanted: Requirement) -> str:
    """The requirement without its marker, which pip would read for the wrong machine."""
    extras = f"[{','.join(sorted(wanted.extras))}]" if wanted.extras else ""
    return f"{wanted.name}{extras}{wanted.specifier}"


def _download(asked: list[str], python: str, source: Path | None, into: Path) -> None:
    if find_spec("pip") is None:
        raise UsageProblem("This Python has no pip.", "Run `python -m ensurepip`, or use the environment of the tool.")
    words = [sys.executable, "-m", "pip", "--disable-pip-version-check", "download", "--quiet", "--only-binary=:all:"]
    words += ["--platform", "win_amd64", "--python-version", python, "--implementation", "cp", "--dest", str(into)]
    if source is not None:
        words += ["--no-index", "--find-links", str(source)]
    done = subprocess.run([*words, *asked], capture_output=True, text=True, check=False, stdin=subprocess.DEVNULL)
    if done.returncode:
        lines = [line for line in done.stderr.splitlines() if line.startswith("ERROR: ")] or ["it gave no reason"]
        raise UsageProblem(
            f"pip could not get every wheel for Windows: {lines[0].removeprefix('ERROR: ')}.",
            "Look at the folder of --wheels, or at your pip settings. Nothing was changed.",
        )
