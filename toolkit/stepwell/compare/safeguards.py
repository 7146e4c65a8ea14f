"""Which change of which field takes a safeguard away: one table."""

from __future__ import annotations

from typing import Any

from stepwell.compare import weaker as w
from stepwell.compare import weaker_rules as r
from stepwell.compare.speak import Speaker
from stepwell.compare.tree import Node

TABLE: dict[tuple[str, str], w.Test] = {
    ("step", "expect"): w.looser_expectations,
    ("step", "if-not"): w.gone("what to do when it is not so"),
    ("step", "confirm"): w.gone("the confirmation by a second person"),
    ("step", "warn"): w.looser_warnings,
    ("step", "missed"): w.gone("what to do when the time has passed"),
    ("step", "after"): w.shorter("need no longer wait for what it waited for"),
    ("step", "optional"): w.turned_on("may now be left out"),
    ("step", "do"): w.fewer_actions,
    ("hold", "until"): w.looser_until,
    ("hold", "agree"): w.fewer("need no longer agree:"),
    ("hold", "abort"): w.gone("how to abort"),
    ("repeat", "until"): w.looser_until,
    ("repeat", "at-most"): w.higher("the number of rounds"),
    ("outcome", "when"): w.narrowed,
    ("outcome", "end"): w.turned_on("the card now ends here"),
    ("outcome", "card"): w.gone("the card that takes over"),
    ("procedure", "fewest-people"): w.lower("the fewest people"),
    ("procedure", "people"): w.fewer("no longer among the people:"),
    ("procedure", "ends"): w.looser_predicates,
    ("procedure", "starts"): w.fewer_starts,
    ("procedure", "cautions"): w.fewer("no longer said:"),
    ("procedure", "do-not-use-when"): w.gone("what forbids the use"),
    ("procedure", "kit"): w.fewer_kit,
    ("procedure", "hands-over"): w.turned_off("hand-over is no longer checked"),
    ("rule", "severity"): r.milder,
    ("rule", "certainty"): r.less_certain,
    ("rule", "shape"): r.looser_shape,
    ("rule", "when"): r.narrower_context,
    ("rule", "for-every"): r.narrower_parts,
    ("rule", "procedures"): r.fewer_procedures,
    ("rule", "core"): w.turned_off("can now be waived"),
    ("waiver", "until"): r.later,
    ("waiver", "procedure"): r.wider_waiver,
    ("waiver", "step"): r.wider_waiver,
    ("waiver", "rule"): r.wider_waiver,
    ("waiver", "slip"): r.wider_waiver,
    ("signer", "roles"): r.more_roles,
    ("signer", "key"): w.other("another key signs for this person"),
    ("signer", "until"): r.later,
    ("quorum", "seats"): r.fewer_seats,
    ("review-policy", "minutes-count"): w.turned_on("approvals from minutes now count"),
    ("review-policy", "review-after"): w.higher("months until the review"),
    ("review-policy", "copy-valid"): w.higher("days for which a copy counts as current"),
    ("review-policy", "walk-through"): w.turned_off("no walk-through is asked for after a critical change"),
    ("review-policy", "on-confirmation"): w.higher("critical steps that may lean on a confirmation alone"),
    ("place", "cards"): w.fewer("no longer listed as hanging there:"),
    ("translation-entry", "msgstr"): w.gone("the translation"),
    ("translation-entry", "fuzzy"): w.turned_on("the translation is no longer sure"),
    ("rig", "inspected"): w.gone("the inspection"),
    ("unit", "notice"): w.gone("the unit's notice"),
}
WHEN_REMOVED = {
    "step": "a step is no longer done",
    "hold": "a hold is taken away",
    "choose": "a question is no longer asked",
    "outcome": "an answer is no longer provided for",
    "rule": "a rule is taken away",
    "procedure": "a procedure is withdrawn",
    "repeat": "a repeat is taken away",
    "meet": "people no longer wait for each other here",
    "quorum": "a quorum is taken away",
    "review-policy": "nothing is said any more about who approves",
    "place": "old prints that hang there are no longer listed",
}
"""What it means that a node is gone."""
WHEN_ADDED = {"waiver": "a rule is waived", "signer": "one more may approve"}


def weaker_field(sort: str, field: str, old: Any, new: Any, speak: Speaker) -> w.Why:
    """Why the change of one field is a weakening; empty if it is none."""
    # A thing that became one of another sort has not the field at all on one side.
    if isinstance(old, tuple) and new is None:
        new = ()
    if isinstance(new, tuple) and old is None:
        old = ()
    test = TABLE.get((sort, field))
    if test is not None:
        return test(old, new, speak)
    if field.startswith("policy") and sort == "rule":
        return (f"applies only under the policy {new}",) if new else ()
    if field.startswith("policy"):
        return (f"the unit's policy changes: {old or 'none'} to {new or 'none'}",)
    for word in ("quorum", "approvals", "signatures"):
        if word in field:
            return w.lower(field)(old, new, speak)
    return ()


def weaker_form(old: str, new: str) -> w.Why:
    """A sequence that becomes a free order permits more."""
    return ("a sequence becomes any order",) if (old, new) == ("stage", "any-order") else ()


def weaker_without(node: Node, speak: Speaker) -> w.Why:
    """Why it is a weakening that a node is gone, with the safeguards that go with it."""
    said = WHEN_REMOVED.get(node.sort)
    if said is None:
        return ()
    why = [said]
    for field, value in node.fields:
        if field in ("expect", "confirm", "warn") and value:
            names = {"expect": "its check", "confirm": "its confirmation", "warn": "its warning"}
            said = speak.roles.get(value, "") if isinstance(value, str) else ""
            why.append(f"{names[field]} goes with it: {said or speak.value(value)}")
    return tuple(why)
