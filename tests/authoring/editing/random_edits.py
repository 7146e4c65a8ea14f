"""Edits by chance, as somebody might make them through the form, and texts to make them on."""

from __future__ import annotations

import json
from pathlib import Path
from random import Random
from typing import Any

from stepwell.authoring.editing.edit import Add, Delete, Edit, Move, Plain, Put
from stepwell.authoring.editing.outline import Row, every_row, outline
from stepwell.source.notes import Notes
from stepwell.source.parse import parse

PROCEDURES = sorted((Path(__file__).parents[3] / "protocols/procedures").glob("*.yaml"))
TEXTS = (
    "Open {oxy-vent}.", "Wait.", "no", "yes: no", "a # b", "- dash", "{brace} first", "it's \"quoted\"", "ends with:", "[x]",
    "5", "1.0", "2:00", "°C and µ – “ok”", "tab\tin", "two\nlines", " lead", "trail ", "*star", "&and", "!tag", "%per",
    "@at", "`tick`", "null", "~", "", "#hash", "a: b", "a, b", "?", "| bar", "> more", "'single'", "{{braces}}", "x" * 150,
    "日本",
)  # fmt: skip
ACTIONS: tuple[Plain, ...] = (
    {"open": "oxy-vent"},
    {"shut": ["prime-clamp", "recirc-clamp"]},
    [{"open": "prime-clamp"}, {"wait": "fill-wait"}],
    {"run": "pump", "at": "first-speed", "for": "2 min"},
    [{"zero": ["drain-pressure", "pre-pressure", "post-pressure"]}, {"turn": "drain-tap", "to": "all", "for": "10 s"}] * 3,
    {"flush-on": "co2-flush", "for": "flush-spell"},
)
EXPECTED: tuple[Plain, ...] = (
    {"open": "oxy-vent"},
    {"see": "no drop"},
    [{"see": "crystalloid, 2 L, in date, clear"}, {"not": {"hung": "prime-bag"}}],
    {"reading": "pre-pressure", "at-least": "-2 mmHg", "at-most": "2 mmHg"},
    {"filled": ["pump-head", "oxygenator"]},
)


def commented(path: Path, chance: Random) -> bytes:
    """A procedure's bytes with comments strewn in, each with a number of its own."""
    lines = path.read_text(encoding="utf-8").splitlines()
    out: list[str] = []
    for number, line in enumerate(lines):
        body = number > lines.index("body:") if "body:" in lines else False
        if body and chance.random() < 0.1:
            lead = len(line) - len(line.lstrip(" "))
            out.append(" " * chance.choice((lead, lead, lead + 2)) + f"# above {number}")
        behind = chance.random() < 0.08 and not line.rstrip().endswith(("|", ">"))
        out.append(f"{line}  # behind {number}" if behind else line)
        if body and chance.random() < 0.02:
            out.append("")
    return ("\n".join(out) + "\n").encode()


def words(chance: Random) -> str:
    """A text that is easy or hard to write down."""
    return chance.choice(TEXTS) if chance.random() < 0.6 else " ".join(chance.sample(("Shut", "the", "clamp", "now"), 3))


def edit_of(data: bytes, chance: Random) -> Edit:
    """One edit of a file that can be read."""
    rows = list(every_row(outline(parse(data, Notes("")))))
    steps = [row for row in rows if row.word == "step"]
    lists = [pointer for row in rows for pointer in row.lists] or ["/body"]
    sort = chance.random() if steps else 0.65
    if sort < 0.62:
        return _put(chance.choice(steps), chance)
    if sort < 0.68:
        return _head(chance, rows)
    if sort < 0.78:
        made: dict[str, Plain] = {"id": f"z{chance.randrange(1000):03d}", "who": "primer", "say": words(chance) or "Wait."}
        if chance.random() < 0.3:
            return Add(to="/body", index=0, item={"stage": words(chance) or "New", "steps": [made]})
        return Add(to=chance.choice(lists), index=chance.randrange(3), item=made)
    if sort < 0.92:
        return Move(at=chance.choice(steps).path, to=chance.choice([*lists, "/body"]), index=chance.randrange(4))
    return Delete(at=chance.choice(rows).path)


def as_asked(edit: Edit, base: str) -> bytes:
    """The request that the page sends for an edit."""
    match edit:
        case Put(present=False):
            told: dict[str, Plain] = {"sort": "take", "at": edit.at, "key": edit.key}
        case Put():
            told = {"sort": "put", "at": edit.at, "key": edit.key, "value": edit.value}
        case Add():
            told = {"sort": "add", "to": edit.to, "index": edit.index, "item": edit.item}
        case Move():
            told = {"sort": "move", "at": edit.at, "to": edit.to, "index": edit.index}
        case Delete():
            told = {"sort": "delete", "at": edit.at}
        case _:
            raise AssertionError(edit)
    return json.dumps({"base": base, "edit": told, "what": type(edit).__name__}).encode()


def _put(row: Row, chance: Random) -> Put:
    key = chance.choice(("say", "why", "if-not", "do", "expect", "warn", "takes", "confirm", "who", "missed", "optional"))
    if key not in ("say", "who") and chance.random() < 0.25:
        return Put(at=row.path, key=key, present=False)
    values: dict[str, Any] = {
        "do": chance.choice(ACTIONS),
        "expect": chance.choice(EXPECTED),
        "takes": chance.choice(("30 s", "30 s .. 2 min", "1 min")),
        "confirm": "checker",
        "who": chance.choice(("primer", "assistant")),
        "optional": True,
        "warn": _warn(dict(row.values).get("warn"), chance),
    }
    return Put(at=row.path, key=key, value=values.get(key, words(chance)))


def _warn(old: object, chance: Random) -> Plain:
    if isinstance(old, dict) and chance.random() < 0.7:
        return {**old, chance.choice(("hazard", "consequence", "avoidance")): words(chance)}
    one: dict[str, Plain] = {
        "hazard": words(chance),
        "consequence": words(chance),
        "avoidance": "Look.",
        "severity": "minor",
    }
    return [one, one] if chance.random() < 0.2 else one


def _head(chance: Random, rows: list[Row]) -> Put:
    groups = [row for row in rows if row.word in ("stage", "hold", "any-order")]
    if groups and chance.random() < 0.5:
        row = chance.choice(groups)
        return Put(at=row.path, key=row.word, value=words(chance) or "Now")
    key = chance.choice(("title", "use-when", "done-call", "cautions", "fewest-people"))
    value: Plain = words(chance)
    if key == "cautions":
        value = [words(chance), words(chance)]
    return Put(at="", key=key, value=2 if key == "fewest-people" else value)
