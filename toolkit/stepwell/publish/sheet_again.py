"""A sheet from the bytes that were kept at its release: the text that was agreed to, whatever the folder holds by now."""

from __future__ import annotations

import json
import re
from dataclasses import fields
from datetime import date
from typing import Any

from stepwell.publish import sheet as shapes
from stepwell.publish.canonical import content_bytes
from stepwell.publish.sheet import Sheet

_CAPITAL = re.compile(r"(?<=[a-z])(?=[A-Z])")
_SHAPES: dict[str, type[Any]] = {
    _CAPITAL.sub("-", one.__name__).lower(): one
    for one in (
        shapes.TextRun, shapes.LabelRun, shapes.FigureRun, shapes.RoleMark, shapes.KitLine, shapes.PartPlace,
        shapes.ExpectLine, shapes.IfNotLine, shapes.WarningBox, shapes.TimeFields, shapes.StepLine, shapes.StageBlock,
        shapes.AnyOrderBlock, shapes.LaneColumn, shapes.LanesBlock, shapes.OutcomeBranch, shapes.QuestionBlock,
        shapes.RepeatBlock, shapes.HoldBar, shapes.MeetLine, shapes.RigLine, shapes.StatusLine, shapes.Sheet,
    )
}  # fmt: skip
"""The shapes of a sheet by the name under which plain data holds them."""


def sheet_again(plain: object) -> Sheet | None:
    """The sheet behind ``content_bytes``; None if this tool has no such shapes, or would not write the same bytes."""
    try:
        found = _value(plain)
    except (KeyError, TypeError, ValueError):
        return None
    if not isinstance(found, Sheet):
        return None
    kept = json.dumps(plain, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode()
    return found if content_bytes(found) == kept else None


def _value(plain: object) -> object:
    if isinstance(plain, list):
        return tuple(_value(one) for one in plain)
    if not isinstance(plain, dict):
        return plain
    shape = _SHAPES[str(plain["is"])]
    known = {spec.name for spec in fields(shape)}
    held = {name: _value(one) for name, one in plain.items() if name != "is"}
    if not held.keys() <= known:
        raise ValueError("a shape with more to it")
    if shape is Sheet:
        held["as_of"] = date.fromisoformat(str(held["as_of"]))
    made: object = shape(**held)
    return made
