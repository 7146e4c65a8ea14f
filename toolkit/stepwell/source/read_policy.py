"""A unit's recorded policies, and those under which a rule applies."""

from __future__ import annotations

from stepwell.model.policy import DISPUTED, Policy, topic
from stepwell.source import faults
from stepwell.source.fields import Fields
from stepwell.source.near import did_you_mean, quote
from stepwell.source.read_text import scalar_text
from stepwell.source.scope import Scope


def read_policy(fields: Fields, scope: Scope) -> Policy:
    """The (topic, word) pairs of ``policy``; what can't be one is noted and left out."""
    mapping = fields.mapping("policy")
    found: list[tuple[str, str]] = []
    for entry in () if mapping is None else mapping.entries.values():
        about = topic(entry.key)
        if about is None:
            scope.notes.add(
                faults.UNKNOWN_WORD,
                entry.key_span,
                f"{quote(entry.key)} is no disputed order on which a policy is recorded.",
                did_you_mean(entry.key, tuple(one.name for one in DISPUTED), what="There are"),
            )
            continue
        word = scalar_text(entry.value, scope, "A policy", f"{about.name}: {about.words[0]}")
        if word is None:
            continue
        if word.text not in about.words:
            scope.notes.add(
                faults.UNKNOWN_WORD,
                word.span,
                f"{quote(word.text)} is no policy on {quote(about.name)}.",
                did_you_mean(word.text, about.words, what="Choose one of"),
            )
            continue
        found.append((about.name, word.text))
    return tuple(found)
