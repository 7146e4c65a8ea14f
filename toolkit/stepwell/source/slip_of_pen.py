"""Slips of the pen that the YAML parser notices only lines later, or explains by something else."""

from __future__ import annotations

import re
from dataclasses import dataclass

_LOOK_BACK = 3
_NO_SPACE = re.compile(r"(?P<before>\s*(?:- )*)(?P<key>[A-Za-z][\w-]*):(?P<value>[^\s:/].*)")
_BARE_PAIR = re.compile(
    r"(?P<before>\s*(?:- )*(?P<key>do|expect|until|ends|starts|when|never|at-the-end|becomes|require): )"
    r"(?P<inner>[a-z][\w-]*: [^\s{\[].*)"
)
_NO_COMMA = re.compile(r"(?P<before>.*[{,]\s*[\w-]+: (?P<value>[^,{}\[\]\"']*?)) (?P<key>[a-z][\w-]*): .*")
_BARE_KEY = re.compile(r"(?P<before>\s*(?:- )*)(?P<key>[a-z][a-z-]*)")
_DASHED = re.compile(r"(?P<before>\s*)- [\w-]+:(?: .*)?")
_OPENED = re.compile(r"(?P<before>\s*(?:- )*(?:[\w-]+: )?)\"[^\"]*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """Where the slip most likely is (from 1), what it is and how to mend it."""

    line: int
    column: int
    message: str
    mend: str


def slip_before(lines: list[str], stopped: int, begun: int) -> Slip | None:
    """The slip that made the parser stop in line ``stopped`` (from 0), in what it began to read in line ``begun``."""
    for number in range(min(stopped, len(lines) - 1), max(stopped - _LOOK_BACK, -1), -1):
        found = _in_line(lines[number].rstrip(), number + 1, exact=number in (stopped, begun))
        if found is not None:
            return found
    return _bare_key(lines, stopped) or _dash_too_many(lines, stopped) or _quote_open(lines, stopped)


def _in_line(line: str, number: int, *, exact: bool) -> Slip | None:
    if (match := _NO_SPACE.fullmatch(line)) is not None:
        key, value = match["key"], match["value"]
        return Slip(
            line=number,
            column=match.end("key") + 1,
            message=f"There is no space after the colon in `{key}:{value[:30]}`.",
            mend=f"Write a space after it: `{key}: {value[:60]}`.",
        )
    if exact and (match := _BARE_PAIR.fullmatch(line)) is not None:
        return Slip(
            line=number,
            column=match.start("inner") + 1,
            message=f"After `{match['key']}:` two colons stand in one line.",
            mend=f"Put what belongs together in braces: `{match['key']}: {{{match['inner']}}}`.",
        )
    if exact and (match := _NO_COMMA.fullmatch(line)) is not None:
        return Slip(
            line=number,
            column=match.start("key") + 1,
            message=f"Inside the braces a comma is missing before `{match['key']}:`.",
            mend=f"Put a comma before it: `{match['value'].strip()}, {match['key']}: ...`.",
        )
    return None


def _quote_open(lines: list[str], stopped: int) -> Slip | None:
    """A text whose closing quote is forgotten runs on to the next quote of the file, and only there the parser stops."""
    for number, line in enumerate(lines[: stopped + 1]):
        if (match := _OPENED.fullmatch(line.rstrip())) is not None and number < stopped:
            return Slip(
                line=number + 1,
                column=match.end("before") + 1,
                message="This quote is opened here and not closed in this line.",
                mend=f'Close it with the same sort of quote: `{line.strip()}"`.',
            )
        if line.count('"') % 2:
            return None
    return None


def _bare_key(lines: list[str], stopped: int) -> Slip | None:
    """A key without its colon, above the lines that belong to it."""
    for number in range(min(stopped, len(lines) - 1), max(stopped - 2, -1), -1):
        match = _BARE_KEY.fullmatch(lines[number].rstrip())
        below = lines[number + 1] if number + 1 < len(lines) else ""
        if match is not None and len(below) - len(below.lstrip()) > len(match["before"]):
            return Slip(
                line=number + 1,
                column=match.end() + 1,
                message=f"There is no colon after `{match['key']}`.",
                mend=f"Write `{match['key']}:`.",
            )
    return None


def _dash_too_many(lines: list[str], stopped: int) -> Slip | None:
    """The first of several lines has a dash, and the next, just below it, has none."""
    if not 0 < stopped < len(lines):
        return None
    above, here = lines[stopped - 1].rstrip(), lines[stopped]
    match = _DASHED.fullmatch(above)
    if match is None or here.lstrip().startswith("-") or len(here) - len(here.lstrip()) != len(match["before"]):
        return None
    return Slip(
        line=stopped,
        column=match.end("before") + 1,
        message="This line begins with a dash, and the next one, which stands at the same place, does not.",
        mend="Delete the `- ` if they belong together, or indent the next line by two spaces more.",
    )
