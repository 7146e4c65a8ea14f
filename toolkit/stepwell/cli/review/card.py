"""What every release needs: the unmarked card as bytes, and the trial of its entry before it is written."""

from __future__ import annotations

from datetime import date

from stepwell.cli import layers
from stepwell.cli.failure import UsageProblem
from stepwell.cli.review.desk import Desk, Subject
from stepwell.ledger.chain import build_chain
from stepwell.ledger.entry import Entry
from stepwell.ledger.problems import QUORUM_SHORT, WALK_THROUGH_MISSING
from stepwell.ledger.standing import standing
from stepwell.publish.sheet import ReleaseMark


def card_of(desk: Desk, subject: Subject, effective: date, review: date | None) -> bytes:
    """The unmarked card as PDF. Raises UsageProblem if its pages break a rule."""
    procedure = desk.procedure(subject.name)
    mark = ReleaseMark(approved=desk.as_of, effective=effective, review=review)
    report = desk.check({procedure.id})
    sheet = desk.sheet(procedure, report, mark)
    card = layers.card(sheet, desk.as_of, desk.workspace, report)
    bad = [finding for finding in card.findings if finding.severity > 1]
    if bad:
        raise UsageProblem(f"The card can't be released: {bad[0].message}", bad[0].mend)
    return card.pdf


_WHY = {
    QUORUM_SHORT.name: "It has not the approvals that the policy asks for.",
    WALK_THROUGH_MISSING.name: "It changes what is done, and nobody has walked through it: `approve --walk-through DAY`.",
}
"""What to say before it is written, where the fault itself speaks of a release that is there."""


def refuse_unless_it_counts(desk: Desk, entry: Entry) -> None:
    """Raise UsageProblem, with the reasons, if the entry would not count."""
    tried = build_chain([*desk.chain.entries, entry])
    told = standing(tried, layers.kinds_of(desk.workspace), date.max)
    counts = any(release.entry == entry.id for release in told.releases) or (
        entry.subject == "policy" and told.policy_content == entry.text("content")
    )
    if not counts:
        new = [problem for problem in told.problems if problem.where == entry.id]
        why = " ".join(_WHY.get(problem.fault.name, problem.fault.summary) + f" {problem.detail}" for problem in new)
        raise UsageProblem(f"{entry.subject} can't be released. {why}".strip(), "`stepwell verify` says what is missing.")
