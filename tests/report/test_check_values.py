"""What any checker of a crystalloid priming must say, on the demo: accepted as written, refused when wrong.

Which rule refuses is asked of the priming without the looks that were put in to catch single slips.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from stepwell.diagnostics.severity import Severity
from stepwell.model.procedure import Procedure
from stepwell.report.results import ProcedureReport
from tests.demo import before_the_looks, changed, checked, moved_behind, procedure, without_action

Change = Callable[[Procedure], Procedure]


def late(step: str, behind: str) -> Change:
    """One step done later than it is written."""
    return lambda found: moved_behind(found, step, behind)


def drop(*steps: str) -> Change:
    """Steps left out, with their checks."""
    return lambda found: replace(found, body=changed(found.body, lambda old: None if old.id in steps else old))


def undo(step: str, index: int) -> Change:
    """One single action left out."""
    return lambda found: without_action(found, step, index)


def unseen(*steps: str) -> Change:
    """The same steps with nobody looking."""
    return lambda found: replace(
        found,
        body=changed(found.body, lambda old: replace(old, expect=(), if_not=None) if old.id in steps else old),
    )


def each(*changes: Change) -> Change:
    """One change after the other."""

    def change(found: Procedure) -> Procedure:
        for one in changes:
            found = one(found)
        return found

    return change


def refusals(report: ProcedureReport) -> set[str]:
    """What is serious enough to refuse the procedure, apart from words that the change left as they were."""
    return {
        finding.rule
        for finding in report.findings
        if finding.severity is not Severity.MINOR and finding.rule != "words-and-actions-disagree"
    }


T1 = ("w7ud", "x4pf")
"""The bleed of T1: opened at its end, and shut again."""

# what is wrong, the change, the rule that refuses it where people look, and the rule where nobody does
WRONG: tuple[tuple[str, Change, str, str], ...] = (
    ("a built-in sensor is zeroed after the fill", late("f3rv", "r8nh"), "built-in-sensor-zeroed-wet", ""),
    ("the leak test comes after the fill", late("h5jp", "r8nh"), "water-leak-test-after-fill", ""),
    ("the vent stays open", drop("f8im"), "expectation-not-met", "vent-left-open"),
    ("the flow sensor is zeroed dry", each(late("c3jy", "k6sg"), late("d7eb", "c3jy")), "flow-sensor-zeroed-unclamped", ""),
    ("the flow sensor is zeroed with the return clamp open", undo("c3jy", 0), "flow-sensor-zeroed-unclamped", ""),
    ("the flow sensor is zeroed with the drainage clamp open", undo("c3jy", 1), "flow-sensor-zeroed-unclamped", ""),
    ("a response stays suspended", drop("l7bg"), "response-left-suspended", ""),
    ("a side port is not bled", drop(*T1), "side-branch-holds-air", ""),
    (
        "a side port is bled before circulating",
        each(late("w7ud", "r8nh"), late("x4pf", "w7ud")),
        "expectation-not-met",
        "side-branch-holds-air",
    ),
    ("the second spell is left out", drop("u9cj"), "expectation-not-met", "air-left-in-circuit"),
    ("the full stop is left out", drop("t6qx"), "expectation-not-met", "air-left-in-circuit"),
    ("the set is parted with both slides open", drop("g4zt"), "parted-with-a-side-open", ""),
    ("the set is parted with the prime slide open", undo("g4zt", 0), "expectation-not-met", "parted-with-a-side-open"),
    (
        "the set is parted with the recirculation slide open",
        undo("g4zt", 1),
        "expectation-not-met",
        "parted-with-a-side-open",
    ),
)


def test_the_priming_is_accepted() -> None:
    report = checked(procedure())
    assert report.findings == ()
    assert report.complete


@pytest.mark.parametrize(("change", "rule"), [(c, r) for _, c, r, _ in WRONG], ids=[what for what, _, _, _ in WRONG])
def test_it_is_refused_when(change: Change, rule: str) -> None:
    after = change(before_the_looks())
    assert after != before_the_looks()
    assert rule in refusals(checked(after))


@pytest.mark.parametrize("change", [c for _, c, _, _ in WRONG], ids=[what for what, _, _, _ in WRONG])
def test_it_is_refused_as_well_with_all_its_looks(change: Change) -> None:
    """The looks and holds that catch single slips stop the run earlier; none of them lets it pass."""
    assert refusals(checked(change(procedure())))


# The looks that would find the fault on the way.
LOOKS = ("x1tr", "u9cj", "w7ud", "y8th", "a6vn", "g4zt")


@pytest.mark.parametrize(("change", "rule"), [(c, r) for _, c, _, r in WRONG if r], ids=[w for w, _, _, r in WRONG if r])
def test_the_rule_itself_refuses_it_where_nobody_looks(change: Change, rule: str) -> None:
    """Without the looks that stop the run before, the hazard itself is reached and named."""
    assert rule in refusals(checked(each(change, unseen(*LOOKS))(before_the_looks())))
