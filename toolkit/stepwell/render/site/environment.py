"""The templates' environment. Everything that an author wrote is escaped; no template marks anything as safe."""

from __future__ import annotations

import re
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from stepwell.publish.sheet import FigureRun, LabelRun, SheetItem, SheetRun, SheetText, spoken
from stepwell.resources import data_dir

_SHAPES = {
    "StepLine": "step",
    "HoldBar": "hold",
    "MeetLine": "meet",
    "QuestionBlock": "ask",
    "RepeatBlock": "repeat",
    "LanesBlock": "lanes",
    "StageBlock": "stage",
    "AnyOrderBlock": "any-order",
}

_GLUED = re.compile(r"[\w.,%\u2212 ]+")
"""Figures in which a line could break at spaces alone; after a hyphen or a stroke it could too."""


def environment(folder: Path) -> Environment:
    """An environment over the page templates in ``folder``, and what they share with those of other folders.

    mkdocs' own environment does not escape, so pages are rendered here and handed to it as finished text.
    """
    env = Environment(
        loader=FileSystemLoader([folder, data_dir("site_templates") / "shared"]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    env.filters["shape"] = _shape
    env.filters["run"] = _run
    env.filters["glued"] = glued
    env.filters["spoken"] = spoken
    env.filters["plain"] = _plain
    return env


def _shape(item: SheetItem) -> str:
    return _SHAPES[type(item).__name__]


def _run(run: SheetRun) -> str:
    match run:
        case LabelRun():
            return "part"
        case FigureRun():
            return "glued" if _GLUED.fullmatch(run.words) else "figure"
    return "text"


def glued(words: str) -> str:
    """A figure that no line may break within: ``30 s`` with a space that does not break, which weighs less than a tag."""
    return words.replace(" ", "\u00a0")


def unbroken(text: SheetText) -> str:
    """A text as one string in which no line breaks between a number and its unit."""
    return "".join(glued(run.words) if isinstance(run, FigureRun) else run.words for run in text)


def _plain(number: float) -> str:
    """A number as people type it: ``9.525``, ``20``, never ``20.0``."""
    return f"{number:.6g}".replace("-", "\u2212")
