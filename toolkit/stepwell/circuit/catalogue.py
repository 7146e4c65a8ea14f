"""The whole vocabulary in one place: part kinds, verbs, facts."""

from stepwell.circuit.fact_table import FACTS, fact
from stepwell.circuit.kinds import PART_KINDS, part_kind
from stepwell.circuit.verb_table import VERBS, verb

__all__ = ["FACTS", "PART_KINDS", "VERBS", "fact", "part_kind", "verb"]
