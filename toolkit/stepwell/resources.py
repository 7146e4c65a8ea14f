"""Where the data that ships with the tool lies: schemas, site templates.

The only module that knows both layouts: a checkout (a ``pyproject.toml`` beside ``toolkit/``) is used as it stands,
an installed wheel carries the same folders under ``stepwell/_data``.
"""

from __future__ import annotations

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
