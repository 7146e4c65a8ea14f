"""A repair in a terminal: what it mends, the sentence, and the lines of the file that change."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from dataclasses import replace

from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.repair import Repair
from stepwell.render.text.findings import finding_lines
from stepwell.render.text.look import Look

_BEHIND_LINE = re.compile(r"(?<=\n)")


def repair_lines(mended: Sequence[Finding], text: str, look: Look) -> tuple[str, ...]:
    """The findings that one repair mends, the repair with the last of them. ``text``: the file as it is now."""
    out: list[str] = []
    for number, finding in enumerate(mended, 1):
        last = number == len(mended)
        told = finding if last else _bare(finding)
        out += finding_lines(_short(told), look)
    repair = mended[-1].repair if mended else None
    if repair is not None and repair.edits:
        out += ["", *changed_lines(repair, text, look)]
    return tuple(out)


def changed_lines(repair: Repair, text: str, look: Look) -> tuple[str, ...]:
    """The lines that go with ``-``, those that come with ``+``, two around them, and their numbers."""
    before = [line for line in _BEHIND_LINE.split(text) if line]
    after = list(before)
    for edit in reversed(repair.edits):
        after[edit.span.line - 1 : edit.span.end_line - 1] = [line for line in _BEHIND_LINE.split(edit.text) if line]
    out: list[str] = []
    for line in list(difflib.unified_diff(before, after, n=2))[2:]:
        told = "    " + line.rstrip("\r\n")
        out.append(look.paint(told, "good" if line[0] == "+" else "bad" if line[0] == "-" else "faint"))
    return tuple(out)


def _bare(finding: Finding) -> Finding:
    return replace(finding, repair=None)


def _short(finding: Finding) -> Finding:
    return replace(finding, trace=None, related=(), mend="")
