"""How a terminal (or a pipe) wants its text: how wide, with colour or not, in which characters."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TextIO

NARROWEST = 72
WIDEST = 100

_COLOURS = {"bad": "1;31", "doubt": "1;33", "good": "32", "strong": "1", "faint": "2"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """``width`` in columns (72 to 100); ``colour`` and ``full`` (any character, not ASCII alone) as the
    stream can bear."""

    width: int = 80
    colour: bool = False
    full: bool = True

    def paint(self, text: str, how: str) -> str:
        """``text`` in the colour for ``bad``, ``doubt``, ``good``, ``strong`` or ``faint``; unchanged
        without colour."""
        return f"\x1b[{_COLOURS[how]}m{text}\x1b[0m" if self.colour and text else text


def look_of(stream: TextIO, environ: Mapping[str, str], *, windows: bool = False) -> Look:
    """The look that suits ``stream``.

    Colour only on a terminal, and not where NO_COLOR is set (no-color.org, from memory), where TERM is
    ``dumb``, or in an old Windows console, which would print the codes.
    """
    tty = stream.isatty()
    capable = environ.get("TERM") != "dumb" and "NO_COLOR" not in environ
    if windows:
        capable = capable and any(name in environ for name in ("WT_SESSION", "ANSICON", "ConEmuANSI", "TERM"))
    encoding = (getattr(stream, "encoding", None) or "ascii").lower().replace("-", "").replace("_", "")
    columns = shutil.get_terminal_size((80, 24)).columns if tty else 80
    return Look(
        width=min(WIDEST, max(NARROWEST, columns - 1 if windows else columns)),
        colour=tty and capable,
        full=encoding in ("utf8", "utf8sig", "cp65001"),
    )
