"""What ``explain`` prints of one entry of the vocabulary, of a rule, a fault, a formula or a unit of
measure."""

from __future__ import annotations

from typing import Protocol

from stepwell.circuit.entry import FactEntry, PartKind, Verb
from stepwell.diagnostics.severity import Severity, signal_word
from stepwell.model.rule import Rule
from stepwell.quantities.formula import Formula
from stepwell.quantities.units import UnitSymbol
from stepwell.render.text.look import Look
from stepwell.render.text.wrap import columns, wrap
from stepwell.rules.hazards import Hazard
from stepwell.rules.sentence import sentence
from stepwell.rules.writing.page import WritingRule
from stepwell.source.short_forms import ShortForm


class Explained(Protocol):
    """A fault of the loader or of the search: both layers declare their own."""

    @property
    def name(self) -> str: ...
    @property
    def code(self) -> str: ...
    @property
    def summary(self) -> str: ...
    @property
    def severity(self) -> Severity: ...


def rule_lines(rule: Rule, look: Look) -> tuple[str, ...]:
    """A rule: what it looks for, why, what helps, where it comes from, and what it does not check."""
    sources = "; ".join(f"{source.text} ({source.mark})" for source in rule.sources)
    rows = [
        ("Read as", sentence(rule)),
        ("Severity", f"{rule.severity.word} ({signal_word(rule.severity, rule.certainty)})"),
        ("Harm", rule.harm),
        ("Usual control", rule.control),
        ("To mend", rule.mend),
        ("Looks at", f"{', '.join(rule.procedures)} procedures" if rule.procedures else ""),
        ("Source", sources),
        ("Not checked", rule.not_checked),
        ("Hazards", ", ".join(rule.hazards)),
        ("Waiver", "none: this rule is part of the core" if rule.core else ""),
    ]
    return (*_head(f"rule {rule.name} ({rule.code})", rule.title, look), *_rows(rows, look))


def writing_lines(rule: WritingRule, look: Look) -> tuple[str, ...]:
    """A rule of writing, with its source and how well that was seen."""
    rows = [("Severity", rule.severity.word), ("Source", f"{rule.source} ({rule.mark})")]
    return (*_head(f"rule of writing {rule.name} ({rule.code})", rule.summary, look), *_rows(rows, look))


def hazard_lines(hazard: Hazard, look: Look) -> tuple[str, ...]:
    """A hazard of the register."""
    rows = [("Phase", hazard.phase), ("At worst", hazard.severity.word)]
    return (*_head(f"hazard {hazard.number}", hazard.text, look), *_rows(rows, look))


def fault_lines(fault: Explained, look: Look) -> tuple[str, ...]:
    """A finding that is not a rule of the catalogue."""
    rows = [("Severity", fault.severity.word)]
    return (*_head(f"finding {fault.name} ({fault.code})", fault.summary, look), *_rows(rows, look))


def verb_lines(verb: Verb, look: Look) -> tuple[str, ...]:
    """A verb: its parts and options, the words that mean it, and how it is written."""
    parts = " and ".join(", ".join(kinds) for kinds in verb.pairs)
    rows = [("Parts", parts or "none"), ("Said as", ", ".join(verb.words))]
    for option in verb.options:
        takes = "yes or no" if option.takes == "flag" else ", ".join(option.choices) or f"a {option.takes}"
        need = ", required" if option.required else ""
        rows.append((f"{option.name}:", f"{option.summary} ({takes}{need})"))
    return (*_head(f"verb {verb.name}", verb.summary, look), *_rows(rows, look))


def short_form_lines(form: ShortForm, look: Look) -> tuple[str, ...]:
    """A short form: how it is written, and what it stands for."""
    rows = [("Written as", form.example), ("Stands for", form.stands_for)]
    return (*_head(f"short form {form.name}", form.summary, look), *_rows(rows, look))


def fact_lines(fact: FactEntry, look: Look) -> tuple[str, ...]:
    """A fact: its arguments, and who can tell."""
    rows = [(arg.name, ", ".join(arg.choices or arg.kinds) or "any part") for arg in fact.args]
    seen = ", ".join(fact.observed) or "nobody can tell, so it can't stand in an expect"
    rows.append(("Observed by", seen))
    if fact.passing:
        rows.append(("Passing", "about what an action did, not about the state afterwards: for rules only"))
    return (*_head(f"fact {fact.name}", fact.summary, look), *_rows(rows, look))


def kind_lines(kind: PartKind, look: Look) -> tuple[str, ...]:
    """A part kind: its figures, references, words, traits and states."""
    rows = [("Is a", str(kind.family))]
    for figure in kind.figures:
        rows.append((f"{figure.name}:", _needed(f"{figure.summary} (a {figure.dimension})", figure.required)))
    for ref in kind.refs:
        leads = f" (part of kind {', '.join(ref.kinds)})" if ref.kinds else " (a part)"
        rows.append((f"{ref.name}:", _needed(ref.summary + leads, ref.required)))
    for word in kind.words:
        choices = f" ({', '.join(word.choices)})" if word.choices else ""
        rows.append((f"{word.name}:", _needed(word.summary + choices, word.required)))
    rows += [(f"trait {name}", meaning) for name, meaning in kind.traits]
    rows += [
        (f"state {word}", meaning if number else f"{meaning} (default)")
        for number, (word, meaning) in enumerate(kind.states)
    ]
    return (*_head(f"part kind {kind.name}", kind.summary, look), *_rows(rows, look))


def formula_lines(formula: Formula, look: Look) -> tuple[str, ...]:
    """A formula with its source, its limits and its worked example."""
    rows = [
        ("Formula", formula.equation),
        ("Holds for", formula.validity),
        ("Example", formula.example),
        ("Source", f"{formula.source} ({formula.mark})"),
    ]
    return (*_head(f"formula {formula.name}", formula.title, look), *_rows(rows, look))


def unit_lines(unit: UnitSymbol, look: Look) -> tuple[str, ...]:
    """A unit of measure."""
    return (*_head(f"unit of measure {unit.symbol}", unit.name, look), *_rows([("Measures", unit.dimension)], look))


def _needed(summary: str, required: bool) -> str:
    return f"{summary}, required" if required else summary


def _head(name: str, summary: str, look: Look) -> tuple[str, ...]:
    return (look.paint(name, "strong"), *wrap(summary, look.width, "  "))


def _rows(rows: list[tuple[str, str]], look: Look) -> tuple[str, ...]:
    filled = [(name, text) for name, text in rows if text]
    wide = min(22, max((columns(name) for name, _ in filled), default=0))
    lines: list[str] = []
    for name, text in filled:
        lines += wrap(text, look.width, f"  {name}{' ' * max(0, wide - columns(name))}  ", " " * (wide + 4))
    return tuple(lines)
