"""A rule of the unit's own, begun from a few answers: where it looks, at which sort of part, and what must be so."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.authoring.yaml_text import scalar
from stepwell.circuit.catalogue import FACTS, PART_KINDS, VERBS
from stepwell.circuit.entry import Arity, FactEntry

SHAPES = (
    ("at-the-end", "something must be so when the card ends"),
    ("never", "something must never be so, not for a moment"),
    ("before-doing", "something must be so before an action is done"),
)
SEVERITIES = (
    ("fatal", "it can kill or maim"),
    ("serious", "it can harm, or leads to an emergency"),
    ("minor", "it costs time or material"),
)


HARM = "What it does to the patient."
CONTROL = "What usually keeps it away."
"""Stand there until somebody writes them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NewRule:
    """The answers. ``verb`` is needed for ``before-doing`` alone; ``fact`` is what must be so (never: what must not)."""

    name: str
    code: str
    title: str
    shape: str
    kind: str
    fact: str
    verb: str = ""
    severity: str = "serious"
    harm: str
    control: str


def kinds() -> tuple[tuple[str, str], ...]:
    """The kinds of part of which something can be asked, with what each is."""
    return tuple((kind.name, kind.summary.partition(". ")[0].rstrip(".")) for kind in PART_KINDS if facts_of(kind.name))


def facts_of(kind: str) -> tuple[tuple[str, str], ...]:
    """What can be asked of such a part, with the sentence for yes. A rule on a moment of change is written by hand."""
    return tuple((fact.name, _said(fact.yes, kind)) for fact in FACTS if _fits(fact, kind))


def verbs_of(kind: str) -> tuple[tuple[str, str], ...]:
    """What a person can do to such a part."""
    return tuple((v.name, v.summary) for v in VERBS if v.arity is Arity.EACH and v.pairs and kind in v.pairs[0])


def _fits(fact: FactEntry, kind: str) -> bool:
    return len(fact.args) == 1 and not fact.passing and not fact.args[0].choices and kind in fact.args[0].kinds


def _said(sentence: str, kind: str) -> str:
    return sentence.format(f"the {kind.replace('-', ' ')}")


def rule_text(new: NewRule) -> str:
    """The rule as a file that loads; what nobody could answer is there to be written over."""
    letter = new.kind[0]
    fact = next(entry for entry in FACTS if entry.name == new.fact)
    named = f"{{{letter}}}"
    match new.shape:
        case "never":
            shape = [f"never: {{{new.fact}: {letter}}}"]
            message, mend = fact.yes.format(named), f"See to it that this is never so: {fact.yes.format(named)}."
        case "before-doing":
            shape = [f"before-doing: {{verb: {new.verb}, part: {letter}}}", f"require: {{{new.fact}: {letter}}}"]
            verb = next(entry for entry in VERBS if entry.name == new.verb)
            message = f"{fact.no.format(named)} when somebody {_does(verb.does, named)}"
            mend = f"See to it before that {fact.yes.format(named)}."
        case _:
            shape = [f"at-the-end: {{{new.fact}: {letter}}}"]
            message, mend = f"At the end {fact.no.format(named)}", f"See to it before the end that {fact.yes.format(named)}."
    lines = [
        "# yaml-language-server: $schema=../schema/rules.schema.json",
        f"rule: {new.name}",
        f"code: {new.code}",
        "hazards: []",
        f"title: {scalar(new.title)}",
        f"severity: {new.severity}",
        f"harm: {scalar(new.harm)}",
        f"control: {scalar(new.control)}",
        "sources: [{text: Unit policy., mark: common practice}]",
        "not-checked: What this rule can't see.",
        "# A trait makes it look at fewer parts: {kind: clamp, trait: on-main-path}. `stepwell explain` lists the words.",
        f"for-every: {{{letter}: {{kind: {new.kind}}}}}",
        *shape,
        f"message: {scalar(_sentence(message))}",
        f"mend: {scalar(mend)}",
    ]
    return "\n".join(lines) + "\n"


def _does(sentence: str, part: str) -> str:
    found = sentence.format(part, part, **dict.fromkeys(("to", "at"), "..."), **{"for": "..."})
    return found.split(" for ...")[0].split(" at ...")[0].split(" to ...")[0].strip()


def _sentence(words: str) -> str:
    return words if words.endswith(".") else f"{words}."
