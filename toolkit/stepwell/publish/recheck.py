"""What the present check says of a released card, beside what was said when it was released."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from stepwell.publish.bound import WAIVED, verdicts_told
from stepwell.report.results import Status, Verdict

_RANK = {Status.HOLDS.value: 3, WAIVED: 2, Status.NOT_DECIDED.value: 1, Status.VIOLATED.value: 0}


@dataclass(frozen=True, slots=True, kw_only=True)
class VerdictThen:
    """One rule: what it said at the release and says now; None where it had nothing to look at, or is not there.

    ``title`` is the rule in words, or its name where the present tool has no such rule. ``worse``: something that was
    held to be safe no longer is, or is not looked at any more.
    """

    rule: str
    title: str
    old: str | None
    new: str | None
    worse: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Rechecked:
    """One card in force. ``unknown`` says why nothing can be told; empty if it can.

    ``same`` is how many verdicts are as they were; ``parts`` names what else is another than at the release.
    """

    procedure: str
    version: str
    effective: date
    same: int = 0
    changes: tuple[VerdictThen, ...] = ()
    parts: tuple[str, ...] = ()
    unknown: str = ""

    @property
    def worse(self) -> bool:
        """Whether any verdict is worse than at the release."""
        return any(one.worse for one in self.changes)


def verdict_changes(then: Mapping[str, str], now: Iterable[Verdict]) -> tuple[int, tuple[VerdictThen, ...]]:
    """(how many verdicts are the same, those that are not), the worse ones first."""
    now = tuple(now)
    titles = {verdict.rule: f"{verdict.title} ({verdict.code}, {verdict.severity.word})" for verdict in now}
    present = {str(one[0]): str(one[1]) for one in verdicts_told(now) if isinstance(one, list)}
    rules = sorted({*then, *present})
    found = [
        VerdictThen(
            rule=rule,
            title=titles.get(rule, rule),
            old=then.get(rule),
            new=present.get(rule),
            worse=_rank(present.get(rule)) < (_rank(then[rule]) if rule in then else 2),
        )
        for rule in rules
        if then.get(rule) != present.get(rule)
    ]
    return len(rules) - len(found), tuple(sorted(found, key=lambda one: (not one.worse, one.rule)))


def _rank(status: str | None) -> int:
    """A verdict that is no longer given ranks below one that holds: nothing looks there any more."""
    return 2 if status is None else _RANK.get(status, 0)
