"""The embeddable package of Python for Windows: is it one, of which version, for which processor."""

from __future__ import annotations

import re
import struct
import zipfile
from dataclasses import dataclass
from pathlib import Path

from stepwell.cli.failure import UsageProblem

OLDEST = (3, 11)
_AMD64 = 0x8664
_PTH = re.compile(r"python(3)(\d+)\._pth")
_MEND = 'Take the file that the Python project lists as "Windows embeddable package (64-bit)", as it was downloaded.'


@dataclass(frozen=True, slots=True, kw_only=True)
class PythonZip:
    """``version`` is such as ``3.12``; ``tag`` is ``312``, as in the names of its files."""

    path: Path
    version: str
    tag: str


def read_python(path: Path) -> PythonZip:
    """Look into the zip. Raises UsageProblem if it is not an embeddable package that can run the tool."""
    try:
        with zipfile.ZipFile(path) as archive:
            names = set(archive.namelist())
            program = archive.read("python.exe") if "python.exe" in names else b""
    except (OSError, zipfile.BadZipFile) as error:
        raise UsageProblem(f"{path} can't be read as a zip file.", _MEND) from error
    found = [match for name in sorted(names) if (match := _PTH.fullmatch(name))]
    if not program or len(found) != 1 or f"python{found[0][1]}{found[0][2]}.zip" not in names:
        raise UsageProblem(f"{path} is not an embeddable package of Python for Windows.", _MEND)
    if _machine(program) != _AMD64:
        raise UsageProblem(f"The Python in {path} is not for 64-bit Windows on x86 processors.", _MEND)
    major, minor = int(found[0][1]), int(found[0][2])
    if (major, minor) < OLDEST:
        raise UsageProblem(f"{path} is Python {major}.{minor}; the tool needs 3.11 or newer.", _MEND)
    return PythonZip(path=path, version=f"{major}.{minor}", tag=f"{major}{minor}")


def _machine(program: bytes) -> int:
    """The processor in the header of a Windows program (PE: offset at 0x3C, then signature, then machine); 0 if none."""
    try:
        (start,) = struct.unpack_from("<I", program, 0x3C)
        signature, machine = struct.unpack_from("<4sH", program, start)
    except struct.error:
        return 0
    return int(machine) if program[:2] == b"MZ" and signature == b"PE\0\0" else 0
