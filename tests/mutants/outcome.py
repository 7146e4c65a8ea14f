"""What came of the mutants, as a page that can be read and read back."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from tests.mutants.table import Mutant

NOT_NOTICED = "**not noticed**"
EQUIVALENT = "changes nothing"
AS_PREDICTED = "as predicted"
SAME_FOLDER = "same folder"
ELSEWHERE = "elsewhere"
NEW_TEST = "new test"
NOWHERE = "-"
_ROW = re.compile(r"^\| ([^|]+) \| `([^|`]+)` \| ([^|]+) \| ([^|]+) \| (\d+) \|$", re.M)

HEAD = """\
# What came of the mutants

Written by `python -m tests.mutants.run`. Each mutant is one slip put into a copy of the engine; `mutants.yaml` has \
its text and what it would mean. The tests that were expected to notice it are run first, then whole folders.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """What came of one mutant: the first test that failed (``by``, empty if none did), whether it was among those that
    were predicted, and how many seconds the looking took."""

    name: str
    by: str
    predicted: bool
    seconds: int


def page(every: Iterable[Mutant], tried: Mapping[str, Tried]) -> str:
    """The page. A mutant that was not tried is not on it."""
    on_it = [(mutant, tried[mutant.name]) for mutant in every if mutant.name in tried]
    same = [mutant for mutant, one in on_it if mutant.equivalent and not one.by]
    where = Counter(_where(mutant, one) for mutant, one in on_it if mutant not in same)
    rows = [
        f"| {mutant.name} | `{mutant.file}` | {_by(mutant, one)} | {_where(mutant, one)} | {one.seconds} |"
        for mutant, one in on_it
    ]
    lines = [
        HEAD,
        f"Of {where.total()} mutants {where.total() - where[NOWHERE]} were noticed: {where[AS_PREDICTED]} by the very tests",
        f"that were predicted, {where[SAME_FOLDER]} by others in the same folder, {where[ELSEWHERE]} elsewhere, and",
        f"{where[NEW_TEST]} passed at first, and tests were written that notice them.",
        "",
        "| mutant | file | noticed by | where | seconds |",
        "|---|---|---|---|---|",
        *rows,
    ]
    if same:
        lines += ["", "## Mutants that change nothing", ""]
        lines += [f"- *{mutant.name}*: {mutant.equivalent}" for mutant in same]
    return "\n".join(lines) + "\n"


def _by(mutant: Mutant, tried: Tried) -> str:
    return f"`{tried.by}`" if tried.by else EQUIVALENT if mutant.equivalent else NOT_NOTICED


def _where(mutant: Mutant, tried: Tried) -> str:
    if not tried.by:
        return NOWHERE
    if mutant.written_for:
        return NEW_TEST
    if tried.predicted:
        return AS_PREDICTED
    folders = {tests.split("/")[1] for tests in mutant.noticed_by}
    return SAME_FOLDER if tried.by.split("/")[1] in folders else ELSEWHERE


def earlier(path: Path) -> tuple[Tried, ...]:
    """What an earlier page says of each mutant."""
    if not path.exists():
        return ()
    return tuple(
        Tried(
            name=name,
            by="" if by in (NOT_NOTICED, EQUIVALENT) else by.strip("`"),
            predicted=where == AS_PREDICTED,
            seconds=int(seconds),
        )
        for name, _, by, where, seconds in _ROW.findall(path.read_text("utf-8"))
    )
