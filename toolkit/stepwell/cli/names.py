"""Every name that ``explain`` knows, with the text for each."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from stepwell.circuit.catalogue import FACTS, PART_KINDS, VERBS
from stepwell.ledger.problems import FAULTS as LEDGER_FAULTS
from stepwell.model.rule import Rule
from stepwell.quantities.formulas import FORMULAS, TAUGHT
from stepwell.quantities.units import UNITS
from stepwell.render.text import explain as text
from stepwell.render.text.look import Look
from stepwell.render.text.other_faults import OTHER_FAULTS
from stepwell.report.faults import FAULTS as FOUND_FAULTS
from stepwell.report.rig_faults import FAULTS as RIG_FAULTS
from stepwell.resources import package_dir
from stepwell.rules.hazards import HAZARDS
from stepwell.rules.writing.all_rules import RULES as WRITING
from stepwell.slips.faults import FAULTS as SLIP_FAULTS
from stepwell.source.faults import FAULTS as FILE_FAULTS
from stepwell.source.files import files_of
from stepwell.source.read_rule import read_rule
from stepwell.source.scope import Scope
from stepwell.source.short_forms import SHORT_FORMS
from stepwell.source.vocabulary import built_in


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One thing to explain: ``what`` it is, its ``names`` (readable name first), one line, and the whole
    text."""

    what: str
    names: tuple[str, ...]
    summary: str
    lines: Callable[[Look], tuple[str, ...]]


def entries(own_rules: tuple[Rule, ...] = ()) -> tuple[Entry, ...]:
    """The built-in vocabulary and rules, followed by the unit's ``own_rules``."""
    built = builtin_rules()
    known = {rule.name for rule in built}
    found: list[Entry] = []
    for rule in (*built, *(rule for rule in own_rules if rule.name not in known)):
        found.append(_entry("rule", (rule.name, rule.code), rule.title, text.rule_lines, rule))
    faults: tuple[text.Explained, ...] = (
        *FOUND_FAULTS,
        *RIG_FAULTS,
        *SLIP_FAULTS,
        *FILE_FAULTS,
        *LEDGER_FAULTS,
        *OTHER_FAULTS,
    )
    for fault in faults:
        found.append(_entry("finding", (fault.name, fault.code), fault.summary, text.fault_lines, fault))
    found += [
        _entry("rule of writing", (entry.name, entry.code), entry.summary, text.writing_lines, entry) for entry in WRITING
    ]
    found += [_entry("hazard", (entry.number,), entry.text, text.hazard_lines, entry) for entry in HAZARDS]
    found += [_entry("verb", (entry.name,), entry.summary, text.verb_lines, entry) for entry in VERBS]
    found += [_entry("short form", (form.name,), form.summary, text.short_form_lines, form) for form in SHORT_FORMS]
    found += [_entry("fact", (entry.name,), entry.summary, text.fact_lines, entry) for entry in FACTS]
    found += [_entry("part kind", (entry.name,), entry.summary, text.kind_lines, entry) for entry in PART_KINDS]
    found += [_entry("formula", (entry.name,), entry.title, text.formula_lines, entry) for entry in (*FORMULAS, *TAUGHT)]
    found += [_entry("unit of measure", (unit.symbol,), unit.name, text.unit_lines, unit) for unit in UNITS.values()]
    return tuple(found)


Thing = TypeVar("Thing")


def _entry(
    what: str, names: tuple[str, ...], summary: str, tell: Callable[[Thing, Look], tuple[str, ...]], thing: Thing
) -> Entry:
    return Entry(what=what, names=names, summary=summary, lines=lambda look: tell(thing, look))


def builtin_rules() -> tuple[Rule, ...]:
    """The rules that ship with the tool, in order of code."""
    folder: Path = package_dir("rules/catalogue")
    files, _ = files_of(folder, "rule", folder.resolve())
    found = [
        read_rule(file.root, Scope(notes=file.notes, vocabulary=built_in()), built_in=True)
        for file in files
        if file.root is not None
    ]
    return tuple(sorted((rule for rule in found if rule is not None), key=lambda rule: rule.code))
