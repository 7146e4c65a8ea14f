"""Putting results in place: only whole ones, and only over what this tool made itself."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from stepwell.cli.failure import UsageProblem
from stepwell.source.files import shown
from stepwell.source.write import replace_dir

MARKER = ".made-by-stepwell"
OWN_FOLDERS = ("procedures", "rigs", "rules", "translations", "ledger", "records")
_WORDS = "This folder is made by stepwell and replaced as a whole the next time. Keep nothing of your own in it.\n"


def place_folder(out: Path, root: Path, fill: Callable[[Path], None]) -> None:
    """Let ``fill`` write into an empty folder aside, then move that to ``out``.

    Raises UsageProblem if ``out`` holds something that this tool did not make, would swallow the unit at
    ``root``, or can't be written.
    """
    _refuse_foreign(out, root)

    def build(aside: Path) -> None:
        try:
            fill(aside)
        except OSError as error:
            # A file that the tool itself lacks must not be told as trouble with the folder.
            if error.errno is None or (error.filename and not Path(error.filename).is_relative_to(aside)):
                raise RuntimeError(f"making the content of {shown(out)} failed") from error
            raise
        mark(aside)

    try:
        replace_dir(out, build)
    except ValueError as error:
        raise UsageProblem(f"{error}.", "Name another folder.") from error
    except OSError as error:
        reason = error.strerror or str(error)
        raise UsageProblem(
            f"{shown(out)} could not be written: {reason}.",
            "Close any of its files that are open elsewhere, or name another folder. Nothing was changed.",
        ) from error


def mark(folder: Path) -> None:
    """Mark ``folder`` as made by this tool."""
    (folder / MARKER).write_text(_WORDS, encoding="utf-8", newline="\n")


def _refuse_foreign(out: Path, root: Path) -> None:
    real = out.resolve()
    if real == root or real in root.parents:
        raise UsageProblem(f"{shown(out)} holds the unit itself.", "Name another folder.")
    if real.is_relative_to(root) and real.relative_to(root).parts[0] in OWN_FOLDERS:
        raise UsageProblem(f"{shown(out)} lies among the unit's own files.", "Name another folder.")
    if real.is_dir() and not _ours(real) and not all(_ours(entry) for entry in real.iterdir()):
        raise UsageProblem(
            f"{shown(out)} holds files that stepwell did not make, so it is not replaced.",
            "Name another folder, or empty this one yourself.",
        )


def _ours(folder: Path) -> bool:
    return (folder / MARKER).is_file()
