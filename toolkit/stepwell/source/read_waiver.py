"""A file of a waiver, which stands among the rules."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from stepwell.model.procedure import Procedure, steps_of
from stepwell.model.rule import Rule
from stepwell.model.slip import Sort
from stepwell.model.waiver import Waiver
from stepwell.source import faults
from stepwell.source.fields import Fields, first_span, mapping_of
from stepwell.source.near import did_you_mean, quote
from stepwell.source.nodes import Node, Scalar
from stepwell.source.read_date import read_date
from stepwell.source.scope import Scope
from stepwell.source.sections import WAIVER


def read_waiver(
    root: Node, scope: Scope, rules: Mapping[str, Rule], procedures: Mapping[str, Procedure], failed: Collection[str]
) -> Waiver | None:
    """The waiver of a file; None if it can't be used, with a note.

    ``failed`` are the ids of procedures that could not be read: nothing is said about what they have.
    """
    node = mapping_of(root, WAIVER, scope.notes, what="A waiver", example="waiver: vent-left-open")
    if node is None:
        return None
    fields = Fields(node, WAIVER, scope.notes, first_span(node)).check()
    rule, card, step = fields.scalar("waiver"), fields.scalar("procedure"), fields.scalar("step")
    by, until = fields.scalar("by"), read_date(fields, "until", scope)
    reason = fields.text("reason")
    slip = _slip(fields, scope)
    name = None if rule is None else _rule(rule, rules, scope, core=fields.has("slip"))
    if by is not None:
        scope.role(by)
    procedure = None if card is None else scope.card(card)
    if step is not None and card is not None:
        _step(step, card.text, procedures, failed, scope)
    if name is None or procedure is None or until is None or by is None or not reason:
        return None
    if slip is None and fields.has("slip"):
        return None
    return Waiver(
        rule=name,
        procedure=procedure,
        step=None if step is None else step.text,
        slip=slip,
        reason=reason,
        by=by.text,
        until=until,
        path=scope.notes.path,
        span=None if rule is None else rule.span,
        until_span=node.entries["until"].span,
    )


def _slip(fields: Fields, scope: Scope) -> Sort | None:
    """The sort of slip that is waived; it is one of a step."""
    node = fields.scalar("slip")
    if node is None:
        return None
    if not fields.has("step"):
        scope.notes.add(
            faults.MISSING_KEY,
            node.span,
            "A slip is waived at one step, but `step` is not there.",
            "Write for example `step: k7f3`.",
        )
    if node.text not in [*Sort]:
        mend = did_you_mean(node.text, [*Sort], what="Slips are", most=8)
        scope.notes.add(faults.UNKNOWN_WORD, node.span, f"{quote(node.text)} is no sort of slip.", mend)
        return None
    return Sort(node.text)


def _rule(node: Scalar, rules: Mapping[str, Rule], scope: Scope, *, core: bool) -> str | None:
    """The name of the rule; one of the core only where ``core`` rules may be waived."""
    rule = rules.get(node.text)
    if rule is None:
        mend = did_you_mean(node.text, rules, what="Rules are", most=8)
        scope.notes.add(faults.UNKNOWN_RULE, node.span, f"There is no rule {quote(node.text)} that could be waived.", mend)
        return None
    if rule.core and not core:
        scope.notes.add(
            faults.CORE_RULE_WAIVED,
            node.span,
            f"{quote(node.text)} is a rule of the core, which can't be waived: {rule.harm}",
            "Delete the waiver, and change the order of the steps.",
        )
        return None
    return node.text


def _step(node: Scalar, card: str, procedures: Mapping[str, Procedure], failed: Collection[str], scope: Scope) -> None:
    procedure = procedures.get(card)
    if procedure is None or card in failed:
        return
    known = tuple(step.id for step in steps_of(procedure.body))
    if node.text not in known:
        mend = did_you_mean(node.text, known, what="Its steps are", most=8)
        scope.notes.add(faults.UNKNOWN_STEP, node.span, f"{quote(card)} has no step {quote(node.text)}.", mend)
