"""What the tool says to a mistake: in the terminal, as the values that a page shows, and by the schema in an editor."""

from __future__ import annotations

import io
import json
import re
import time
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from jsonschema import Draft7Validator
from jsonschema.exceptions import ValidationError

from stepwell.authoring.preview.desk import Desk
from stepwell.authoring.preview.view import view
from stepwell.cli import layers
from stepwell.cli.console import console_of
from stepwell.cli.locate import locate
from stepwell.diagnostics.finding import Finding
from stepwell.render.json_report import finding_document
from stepwell.render.text.check_report import render_check
from stepwell.report.rig_survey import survey
from stepwell.resources import data_dir
from stepwell.source.half_rig import read_half_rig
from stepwell.source.nodes import places, plain_value
from stepwell.source.notes import Notes
from stepwell.source.parse import parse
from tests.authoring.mistakes.bank import JARGON, Mistake

AS_OF = date(2026, 11, 28)
SCHEMA_OF = {"procedures": "procedure", "rigs": "rig", "rules": "rules", "unit.yaml": "unit"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What was said first of the file, and where it held. ``schema`` is None where a schema can't tell."""

    mistake: Mistake
    line: int
    message: str
    mend: str
    more: int
    right_line: bool
    right_mend: bool
    plain: bool
    terminal: bool
    page: bool
    schema: bool | None
    marked: tuple[str, ...]

    @property
    def right(self) -> bool:
        """Line, mend and words are right, in the terminal and in the page."""
        return self.right_line and self.right_mend and self.plain and self.terminal and self.page


def ask(mistake: Mistake, folder: Path, *, page: bool = False) -> Answer:
    """Lay the unit out in ``folder``, check the file as its author would, and judge the first thing that is said of it.

    ``page``: ask the page of ``stepwell preview`` as well, which takes longer.
    """
    path = mistake.lay_out(folder)
    where = locate([str(path)])
    console = console_of(io.StringIO(), io.StringIO(), {"COLUMNS": "4000"})
    report = layers.check(where, layers.load(where.root, console), AS_OF, console)
    report = replace(report, findings=(*report.findings, *_of_rig(path)))
    told = [finding for finding in report.findings if _of(finding, path) and not finding.waived]
    first = told[0] if told else None
    line = first.span.line if first and first.span else 0
    message, mend = (first.message, first.mend) if first else ("", "")
    marked = _marked(mistake) if mistake.schema else ()
    return Answer(
        mistake=mistake,
        line=line,
        message=message,
        mend=mend,
        more=max(len(told) - 1, 0),
        right_line=line in mistake.lines,
        right_mend=mistake.said(mend),
        plain=not set(JARGON) & set(re.findall(r"[a-z]+", f"{message} {mend}".lower())),
        terminal=_in_terminal(render_check(report, console.look), path, line, mend),
        page=first is not None and _in_page(first, line, mend) and (not page or _on_page(path, line, mend)),
        schema=_schema_right(mistake, marked) if mistake.schema else None,
        marked=tuple(f"{at}: {words}" for at, words in marked),
    )


def _of_rig(path: Path) -> tuple[Finding, ...]:
    """What `stepwell rig` says besides, where the file is a rig's: its author has the drawing before her."""
    half = read_half_rig(path) if path.parent.name == "rigs" else None
    return survey(half.rig) if half is not None and half.rig is not None and half.whole else ()


def _of(finding: Finding, path: Path) -> bool:
    return finding.span is not None and Path(finding.span.path).resolve() == path.resolve()


def _in_terminal(text: str, path: Path, line: int, mend: str) -> bool:
    """The first place in this file that the terminal shows is that line, and the mend follows."""
    flat = " ".join(text.split())
    places_shown = [at for at in flat.split(f"{path.name}:")[1:] if at[:1].isdigit()]
    shown = next(iter(places_shown), "")
    return shown.startswith(f"{line}:") and " ".join(mend.encode("ascii", "replace").decode().split())[:30] in _ascii(flat)


def _ascii(text: str) -> str:
    return text.encode("ascii", "replace").decode()


def _in_page(finding: Finding, line: int, mend: str) -> bool:
    shown = json.loads(json.dumps(finding_document(finding)))
    return bool(shown["line"] == line and shown["mend"] == mend and mend)


def _on_page(path: Path, line: int, mend: str) -> bool:
    """What the page of `stepwell preview` shows first of a procedure; other files have no page of their own."""
    if path.parent.name != "procedures":
        return True
    desk = Desk(root=path.parent.parent.resolve(), as_of=AS_OF)
    desk.start()
    try:
        desk.want(path.stem)
        for _ in range(400):
            found = view(desk, path.stem)
            if found is not None and not found["checking"]:
                break
            time.sleep(0.02)
        shown = found["findings"] if found is not None else []
        told = [one for one in shown if isinstance(shown, list) and not one["waived"]] if isinstance(shown, list) else []
        return bool(told) and told[0]["line"] == line and told[0]["mend"] == mend
    finally:
        desk.stop()


@cache
def _validator(name: str) -> Draft7Validator:
    return Draft7Validator(json.loads((data_dir("schema") / f"{name}.schema.json").read_text(encoding="utf-8")))


def _marked(mistake: Mistake) -> tuple[tuple[int, str], ...]:
    """The lines that an editor would mark by the schema, with its words. A missing key marks the head of its owner."""
    root = parse(mistake.text.encode(), Notes(mistake.file))
    if root is None:
        return ()
    where = places(root)
    found: list[tuple[int, str]] = []
    for error in _validator(SCHEMA_OF[mistake.file.split("/")[0]]).iter_errors(plain_value(root)):
        pointer = "".join("/" + str(one).replace("~", "~0").replace("/", "~1") for one in error.absolute_path)
        found += [(at, error.message[:160]) for at in _lines(error, pointer, where)]
    return tuple(dict.fromkeys(found))


def _lines(error: ValidationError, pointer: str, where: dict[str, Any]) -> list[int]:
    """A key that does not belong is marked itself; anything else at the value, or at the key before it."""
    keys = []
    if error.validator == "additionalProperties":
        known = error.schema.get("properties", {}) if isinstance(error.schema, dict) else {}
        keys = [key for key in error.instance if key not in known]
    elif isinstance(error.instance, str) and "propertyNames" in error.absolute_schema_path:
        keys = [error.instance]
    spans = [where[f"{pointer}/{key}"].key for key in keys if f"{pointer}/{key}" in where]
    if spans:
        return [span.line for span in spans if span is not None]
    place = where.get(pointer)
    if place is None:
        return []
    span = place.value if isinstance(error.instance, str | list | dict) or place.key is None else place.key
    return [span.line]


def _schema_right(mistake: Mistake, marked: tuple[tuple[int, str], ...]) -> bool:
    """The right line is marked, and not many others."""
    lines = {line for line, _ in marked}
    return bool(lines & set(mistake.lines)) and len(lines - set(mistake.lines)) <= 1
