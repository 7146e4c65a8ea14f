"""Which rules look at a procedure of a unit: by its kind, and by what the unit has recorded of disputed orders."""

from __future__ import annotations

from collections.abc import Iterable

from stepwell.model.procedure import Procedure
from stepwell.model.rule import Rule
from stepwell.model.unit import Unit


def rules_for(rules: Iterable[Rule], procedure: Procedure, unit: Unit) -> tuple[Rule, ...]:
    """The rules that look at the procedure. One under a policy is left out where the unit has recorded another."""
    recorded = dict(unit.policy)
    return tuple(
        rule
        for rule in rules
        if (not rule.procedures or procedure.kind.value in rule.procedures)
        and all(recorded.get(topic, word) == word for topic, word in rule.policy)
    )


def unrecorded(rule: Rule, unit: Unit) -> tuple[str, ...]:
    """The topics on which the rule needs a policy that the unit has not recorded."""
    recorded = dict(unit.policy)
    return tuple(topic for topic, _ in rule.policy if topic not in recorded)
