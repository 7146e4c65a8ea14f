"""What came of the mutants, as a page that can be read and read back."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from tests.mutants.table import Mutant

NOT_NOTICED = "**not noticed**"
EQUIVALENT = "changes nothing"
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
    rows: list[str] = []
    noticed = predicted = counted = 0
    for mutant in every:
        one = tried.get(mutant.name)
        if one is None:
            continue
        if mutant.equivalent and not one.by:
            by, where = EQUIVALENT, ""
        else:
            by, where = (f"`{one.by}`" if one.by else NOT_NOTICED), "as predicted" if one.predicted else "elsewhere"
            counted += 1
            noticed += bool(one.by)
            predicted += one.predicted
        rows.append(f"| {mutant.name} | `{mutant.file}` | {by} | {where if one.by else '-'} | {one.seconds} |")
    missed = [mutant for mutant in every if mutant.equivalent and mutant.name in tried and not tried[mutant.name].by]
    lines = [
        HEAD,
        f"Of {counted} mutants {noticed} were noticed, {predicted} of them by the tests that were predicted.",
        "",
        "| mutant | file | noticed by | where | seconds |",
        "|---|---|---|---|---|",
        *rows,
    ]
    if missed:
        lines += ["", "## Mutants that change nothing", ""]
        lines += [f"- *{mutant.name}*: {mutant.equivalent}" for mutant in missed]
    return "\n".join(lines) + "\n"


def earlier(path: Path) -> tuple[Tried, ...]:
    """What an earlier page says of each mutant."""
    if not path.exists():
        return ()
    return tuple(
        Tried(
            name=name,
            by="" if by in (NOT_NOTICED, EQUIVALENT) else by.strip("`"),
            predicted=where == "as predicted",
            seconds=int(seconds),
        )
        for name, _, by, where, seconds in _ROW.findall(path.read_text("utf-8"))
    )
