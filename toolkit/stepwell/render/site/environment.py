"""The templates' environment. Everything that an author wrote is escaped; no template marks anything as safe."""

from __future__ import annotations

from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from stepwell.publish.sheet import FigureRun, LabelRun, SheetItem, SheetRun, spoken
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
            return "figure"
    return "text"


def _plain(number: float) -> str:
    """A number as people type it: ``9.525``, ``20``, never ``20.0``."""
    return f"{number:.6g}".replace("-", "\u2212")
