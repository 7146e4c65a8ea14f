"""The witness that a rule bites names a change that does break the rule, and no other."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from stepwell.report.bites import NONE_FOUND
from stepwell.report.check import Options, check_workspace
from stepwell.report.results import Bites, Status
from tests.rules.harness import Case, cases_of, loaded_case

RULE = "cap-left-off"


def witness(body: str, folder: Path) -> Bites:
    """What is said of the rule on a card that keeps it."""
    case = Case(rule=RULE, number=1, fails=False, text=body, rig=cases_of(RULE)[0].rig)
    unit = loaded_case(case, folder)
    alone = replace(unit, rules=tuple(rule for rule in unit.rules if rule.name == RULE))
    report = check_workspace(alone, as_of=date(2026, 1, 1), clock=lambda: 0.0, options=Options())
    (verdict,) = report.procedures[0].verdicts
    assert verdict.status is Status.HOLDS
    assert verdict.bites is not None
    return verdict.bites


@pytest.mark.parametrize(
    ("body", "step", "statement"),
    [
        pytest.param(
            """\
starts: {from: primed, tap-cap: "off"}
body:
  - {id: c4pp, who: one, say: "Put {tap-cap} on.", do: {cap: tap-cap}}
""",
            "c4pp",
            "Leaving out step 1 (c4pp) would break it.",
            id="a step",
        ),
        pytest.param(
            """\
starts: {from: primed, tap-cap: "off"}
body:
  - {id: c4pp, who: one, say: "Put {tap-cap} on.", do: {cap: tap-cap}}
  - {id: l7kk, who: two, say: "Look at {tap-cap}.", expect: {shut: tap-cap}}
""",
            "c4pp",
            "Leaving out step 1 (c4pp) would break it, did a later step not notice or refuse.",
            id="a step that a look would miss",
        ),
        pytest.param(
            """\
starts: {from: primed}
body:
  - id: c4pp
    who: one
    say: "Take {tap-cap} off, wait 5 s, and put {tap-cap} on."
    do: [{uncap: tap-cap}, {wait: 5 s}, {cap: tap-cap}]
""",
            "c4pp",
            "Leaving out one action of step 1 (c4pp) (cap tap-cap) would break it, did a later step not notice or refuse.",
            id="one action, and not those behind it",
        ),
        pytest.param(
            """\
starts: {from: primed}
body:
  - {id: u4nn, who: one, say: "Take {tap-cap} off.", do: {uncap: tap-cap}}
  - {id: c4pp, who: one, say: "Put {tap-cap} on.", do: {cap: tap-cap}}
  - {id: a4nn, who: two, say: "Put {tap-cap} on.", do: {cap: tap-cap}}
""",
            "u4nn",
            "Moving step 1 (u4nn) to the end of the card would break it.",
            id="a step in another place",
        ),
        pytest.param(
            """\
starts: {from: primed}
body:
  - {id: w5tt, who: one, say: Wait 5 s., do: {wait: 5 s}}
""",
            None,
            NONE_FOUND,
            id="nothing",
        ),
    ],
)
def test_what_would_break_it(body: str, step: str | None, statement: str, tmp_path: Path) -> None:
    bites = witness(body, tmp_path)
    assert (bites.step, bites.statement) == (step, statement)
