"""stepwell explain: every name that a report or a file can hold is explained."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import stepwell
from stepwell.circuit.catalogue import FACTS, PART_KINDS, VERBS
from stepwell.cli.main import main
from stepwell.cli.names import builtin_rules, entries
from stepwell.render.text.look import Look
from stepwell.render.text.wrap import columns
from tests.cli.conftest import Call

PACKAGE = Path(stepwell.__file__).parent


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("turn", ["verb turn", "tap"]),
        ("tap", ["part kind tap", "three-way tap", "(default)"]),
        ("position", ["fact position", "eye"]),
        ("tubing-volume", ["formula tubing-volume", "71.26 mL per metre", "physics"]),
        ("unknown-key", ["finding unknown-key (SW020)"]),
        ("sw401", ["finding emergency-card-not-one-side (SW401)"]),
        ("cmH2O", ["unit of measure cmH2O", "pressure"]),
        ("built-in-sensor-zeroed-wet", ["rule built-in-sensor-zeroed-wet", "Not checked", "Source", "Read as"]),
    ],
)
def test_explains(call: Call, name: str, said: list[str]) -> None:
    result = call("explain", name)
    assert result.code == 0
    assert all(words in result.out for words in said), result.out


def test_a_code_and_a_name_lead_to_the_same(call: Call) -> None:
    for rule in builtin_rules():
        # A fact may share its name with a rule; then the name leads to both.
        assert call("explain", rule.name).out.startswith(call("explain", rule.code.lower()).out)


def test_a_verb_and_a_fact_of_one_name_are_both_told(call: Call) -> None:
    out = call("explain", "open").out
    assert "verb open" in out
    assert "fact open" in out


def test_did_you_mean(call: Call) -> None:
    result = call("explain", "zreo")
    assert (result.code, result.out) == (2, "")
    assert "zreo" in result.err
    assert "`zero`" in result.err


def test_everything_is_listed_and_has_a_text(call: Call) -> None:
    listing = call("explain").out
    for entry in entries():
        assert f"{entry.what} {entry.names[0]}: " in listing
        lines = entry.lines(Look(width=72))
        assert len(lines) >= 2, entry.names
        assert all(columns(line) <= 72 for line in lines if len(line.split()) > 2), entry.names
    known = {name for entry in entries() for name in entry.names}
    assert {verb.name for verb in VERBS} | {fact.name for fact in FACTS} | {kind.name for kind in PART_KINDS} <= known


def test_the_rules_of_the_unit_are_explained_in_its_folder(call: Call, good: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert call("explain", "sensor-zeroed-wet").code == 2
    monkeypatch.chdir(good)
    assert "SW901" in call("explain", "sensor-zeroed-wet").out


def codes_in_the_source() -> set[str]:
    found: set[str] = set()
    for path in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and re.fullmatch("S[WT][0-9]{3}", node.value):
                found.add(node.value)
    return found - {"SW100"}  # where the codes of the catalogue begin, no code itself


def test_every_code_that_the_tool_can_print_is_explained() -> None:
    known = [name for entry in entries() for name in entry.names[1:]]
    assert codes_in_the_source() <= set(known)
    assert len(known) == len(set(known)), "one code for two findings"


def test_help_and_version(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--version"]) == 0
    assert capsys.readouterr().out.strip() == f"stepwell {stepwell.__version__}"
    assert main(["--help"]) == 0
    assert "exit codes" in capsys.readouterr().out
