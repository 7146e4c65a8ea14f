"""Cases of rules, written so that a clinician can read them, played through the loader and the check.

A case file is Markdown: prose, and blocks fenced as `yaml passes` or `yaml fails`, each the start, ends and body of a small
procedure on the set of `base-rig.yaml`. `# finds: rule-name` stands on the line at fault; every finding of serious or
worse must be announced so. `# finds in the rig: rule-name` announces one that hangs on the set alone. A block `yaml rig`
before them changes parts of the set for the rest of the file.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from textwrap import indent

import yaml

from stepwell.diagnostics.severity import Severity
from stepwell.model.rule import Rule
from stepwell.model.workspace import Workspace
from stepwell.report.check import Options, check_workspace
from stepwell.report.results import CheckReport, Status
from stepwell.source.workspace import load_workspace

CASES = Path(__file__).parent / "cases"
_FENCE = re.compile(r"^```yaml (passes|fails|rig)\n(.*?)^```$", re.M | re.S)
_FINDS = re.compile(r"#\s*finds:\s*(.+)$")
_IN_RIG = re.compile(r"^#\s*finds in the rig:\s*(.+)$", re.M)
_UNIT = """\
unit: Unit of the cases
region: eu
languages: [en]
reading-distance: 60 cm
roles:
  one: {label: First person, mark: P}
  two: {label: Second person, mark: S}
numbers: {}
"""
_HEADER = {
    "procedure": "case",
    "title": "Case",
    "version": '"1.0.0"',
    "kind": "routine",
    "rig": "case-set",
    "use": "read-and-do",
    "people": "[one, two]",
    "use-when": "In the tests of the rules.",
    "do-not-use-when": "Anywhere else.",
    "sources": "[Made up for the test.]",
    "done-call": "Done.",
}


@dataclass(frozen=True, slots=True)
class Case:
    """One block. ``wanted`` are (line of the block, rule) pairs."""

    rule: str
    number: int
    fails: bool
    text: str
    rig: str

    @property
    def wanted(self) -> set[tuple[int, str]]:
        """What the comments announce; line 0 is the file of the set."""
        found = {(0, name.strip()) for names in _IN_RIG.findall(self.text) for name in names.split(",")}
        for line, text in enumerate(self.text.splitlines(), 1):
            if match := _FINDS.search(text):
                found |= {(line, name.strip()) for name in match[1].split(",")}
        return found


@dataclass(frozen=True, slots=True)
class Played:
    """What the check said: (line of the block, rule) of every finding, and the verdict per rule."""

    found: set[tuple[int, str]]
    messages: str
    traces: str
    verdicts: dict[str, Status]


def cases_of(rule: str) -> tuple[Case, ...]:
    """The cases of a rule, in the order of its file; empty if it has none."""
    path = CASES / f"{rule}.md"
    if not path.exists():
        return ()
    rig = (CASES / "base-rig.yaml").read_text("utf-8")
    found: list[Case] = []
    for sort, text in _FENCE.findall(path.read_text("utf-8")):
        if sort == "rig":
            rig = changed_rig(rig, text)
        else:
            found.append(Case(rule=rule, number=len(found) + 1, fails=sort == "fails", text=text, rig=rig))
    return tuple(found)


def changed_rig(rig: str, text: str) -> str:
    whole, changes = yaml.safe_load(rig), yaml.safe_load(text)
    whole["parts"] |= changes.get("parts", {})
    whole["chains"] += changes.get("chains", [])
    for name, settings in changes.get("baselines", {}).items():
        whole["baselines"].setdefault(name, {}).update(settings)
    return str(yaml.safe_dump(whole, sort_keys=False))


def check(case: Case, folder: Path) -> CheckReport:
    """Write the case as a workspace, load it and check it."""
    unit = loaded_case(case, folder)
    return check_workspace(unit, as_of=date(2026, 1, 1), clock=lambda: 0.0, options=Options(bites=False))


def loaded_case(case: Case, folder: Path, roles: dict[str, dict[str, str]] | None = None) -> Workspace:
    """The case written as a workspace and loaded. ``roles`` are there besides the two people of the cases."""
    (folder / "rigs").mkdir(parents=True)
    (folder / "procedures").mkdir()
    unit = yaml.safe_load(_UNIT)
    unit["roles"] |= roles or {}
    (folder / "unit.yaml").write_text(_UNIT if not roles else yaml.safe_dump(unit), "utf-8")
    (folder / "rigs" / "case-set.yaml").write_text(case.rig, "utf-8")
    (folder / "procedures" / "case.yaml").write_text(_header(case) + case.text, "utf-8")
    loaded = load_workspace(folder)
    broken = [f"{finding.span}: {finding.message}" for finding in loaded.findings]
    assert not broken, "\n".join(broken)
    assert loaded.workspace is not None
    return loaded.workspace


def _header(case: Case) -> str:
    stated = set(re.findall(r"^([a-z-]+):", case.text, re.M))
    return "".join(f"{key}: {value}\n" for key, value in _HEADER.items() if key not in stated)


def header_lines(case: Case) -> int:
    """So many lines stand in the file above the block."""
    return _header(case).count("\n")


def play(case: Case, folder: Path) -> Played:
    """Check the case, and say where what was found."""
    report = check(case, folder)
    serious = [finding for finding in report.findings if finding.severity >= Severity.SERIOUS or finding.rule == case.rule]
    above = header_lines(case)
    return Played(
        found={
            (finding.span.line - above if finding.span and finding.span.path.endswith("case.yaml") else 0, finding.rule)
            for finding in serious
        },
        messages=indent("\n".join(f"{f.span}: {f.rule}: {f.message}" for f in serious), "  "),
        traces="\n".join(str(f.trace) for f in serious),
        verdicts={verdict.rule: verdict.status for verdict in report.procedures[0].verdicts},
    )


@cache
def catalogue() -> tuple[Rule, ...]:
    """The built-in rules in order of code."""
    loaded = load_workspace(Path(__file__).parents[2] / "protocols")
    assert loaded.workspace is not None
    return tuple(rule for rule in loaded.workspace.rules if rule.code.startswith("SW"))
