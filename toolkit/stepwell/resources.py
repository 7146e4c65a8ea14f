"""Where the data that ships with the tool lies: schemas, site templates; what it needs, and its licence.

The only module that knows both layouts: a checkout (a ``pyproject.toml`` beside ``toolkit/``) is used as it stands,
an installed wheel carries the same folders under ``stepwell/_data``.
"""

from __future__ import annotations

import tomllib
from importlib.metadata import distribution, requires
from importlib.resources import files
from pathlib import Path

PACKAGE = Path(str(files("stepwell")))


def data_dir(name: str) -> Path:
    """Return the folder ``name`` (``schema``, ``site_templates``, ``protocols``).

    Raises FileNotFoundError if the installation lacks it, which is a fault of the package, not of the user.
    """
    root = PACKAGE.parent.parent
    checkout = root / name
    if (root / "pyproject.toml").is_file() and checkout.is_dir():
        return checkout
    installed = PACKAGE / "_data" / name
    if installed.is_dir():
        return installed
    raise FileNotFoundError(f"this installation of stepwell lacks its {name} folder")


def package_dir(name: str) -> Path:
    """Return a data folder inside the package itself, such as ``rules/catalogue``."""
    return PACKAGE / name


def requirements() -> tuple[str, ...]:
    """What the tool itself needs, as pip writes it; extras may be among them with their markers."""
    project = PACKAGE.parent.parent / "pyproject.toml"
    if project.is_file():
        return tuple(tomllib.loads(project.read_text(encoding="utf-8"))["project"]["dependencies"])
    return tuple(requires("stepwell") or ())


def licence_file() -> Path:
    """The licence text of the tool. Raises FileNotFoundError if the installation lacks it."""
    checkout = PACKAGE.parent / "LICENSE"
    if (PACKAGE.parent.parent / "pyproject.toml").is_file() and checkout.is_file():
        return checkout
    for entry in distribution("stepwell").files or ():
        if entry.name == "LICENSE" and ".dist-info" in entry.as_posix():
            return Path(str(entry.locate()))
    raise FileNotFoundError("this installation of stepwell lacks its licence")
