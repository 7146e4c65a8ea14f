"""The schemas are draft-07, are what the code builds, and agree with the readers."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft7Validator

from stepwell.circuit import catalogue
from stepwell.render.json_report import render_json
from stepwell.report.results import CheckReport, Status
from stepwell.resources import data_dir
from stepwell.source.nodes import plain_value
from stepwell.source.notes import Notes
from stepwell.source.parse import parse
from stepwell.source.schemas import BUILDERS, written
from stepwell.source.sections import PART, SECTIONS, Section
from stepwell.source.short_sections import SHORT_SECTIONS
from tests.source.bench import BROKEN, GOOD, PLACES, ROOT
from tests.text.examples import CLEAN, REPORT, UNDECIDED

NAMES = (*BUILDERS, "check")
SCHEMA_OF = {"procedures": "procedure", "rigs": "rig", "rules": "rules", "units": "unit", "terms": "terms"}

# Broken in what names mean or in the file's form; the schema, which sees values only, can't tell.
BEYOND_A_SCHEMA = {
    "after-in-a-circle", "alias-or-anchor", "brace-in-text", "confirmed-by-same", "duplicate-id", "duplicate-key",
    "duplicate-name", "empty-file", "end-inside-chain", "ends-do-not-fit", "explicit-tag", "forbidden-character",
    "gate-at-chain-end", "gates-side-by-side", "malformed-date", "merge-key", "nobody-can-tell", "not-in-fluid-path",
    "not-utf-8", "out-of-range", "part-in-no-chain", "part-twice", "passing-fact", "pump-not-through", "range-reversed",
    "core-rule-waived", "unknown-rule",
    "reserved-code", "role-not-listed", "several-documents", "states-at-odds", "tab-character", "text-cut-by-hash",
    "unknown-baseline", "unknown-name-in-text", "unknown-number", "unknown-part", "unknown-procedure", "unknown-rig",
    "unknown-role", "unknown-state", "unknown-step", "unknown-variable", "wrong-dimension", "wrong-kind", "yaml-syntax",
    "not-a-quantity", "empty-selection", "no-such-site", "meeting-alone", "meetings-cross",
}  # fmt: skip


def schema(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((data_dir("schema") / f"{name}.schema.json").read_text(encoding="utf-8"))
    return found


def valid(name: str, path: Path) -> list[str]:
    node = parse(path.read_bytes(), Notes(str(path)))
    assert node is not None
    return [f"{list(e.absolute_path)} {e.message}" for e in Draft7Validator(schema(name)).iter_errors(plain_value(node))]


@pytest.mark.parametrize("name", NAMES)
def test_a_schema_is_draft_07(name: str) -> None:
    found = schema(name)
    Draft7Validator.check_schema(found)
    assert found["$schema"] == "http://json-schema.org/draft-07/schema#"
    later = {"$defs", "unevaluatedProperties", "prefixItems", "dependentRequired", "dependentSchemas", "minContains"}
    assert not later & keys_of(found)


def keys_of(value: object) -> set[str]:
    if isinstance(value, dict):
        return set(value) | {key for inner in value.values() for key in keys_of(inner)}
    if isinstance(value, list):
        return {key for inner in value for key in keys_of(inner)}
    return set()


@pytest.mark.parametrize("name", NAMES)
def test_every_reference_leads_somewhere(name: str) -> None:
    found = schema(name)
    text = json.dumps(found)
    for definition in found.get("definitions", {}):
        assert f'"#/definitions/{definition}"' in text, f"nothing uses {definition}"
    for part in text.split('"#/definitions/')[1:]:
        assert part.partition('"')[0] in found["definitions"]


@pytest.mark.parametrize("name", sorted(BUILDERS))
def test_what_is_checked_in_is_what_is_built(name: str) -> None:
    there = (data_dir("schema") / f"{name}.schema.json").read_text(encoding="utf-8")
    assert there == written(name), "run: python -m stepwell.source.schemas schema"


def test_words_are_those_of_the_catalogue() -> None:
    procedure, rig, rules = schema("procedure")["definitions"], schema("rig")["definitions"], schema("rules")["definitions"]
    kinds = [kind.name for kind in catalogue.PART_KINDS]
    assert rig["part"]["properties"]["kind"]["enum"] == kinds
    assert procedure["selector"]["properties"]["kind"]["enum"] == kinds
    assert {verb.name for verb in catalogue.VERBS} <= set(procedure["action"]["properties"])
    assert rules["doing"]["properties"]["verb"]["enum"] == [verb.name for verb in catalogue.VERBS]
    facts = {fact.name for fact in catalogue.FACTS}
    condition = procedure["condition"]["else"]["else"]["properties"]
    assert set(condition) == facts | {"all", "any", "not"}
    assert not {fact.name for fact in catalogue.FACTS} & {"all", "any", "not", "for-every", "for-some", "reading", "see"}


@pytest.mark.parametrize("section", [*SECTIONS, *SHORT_SECTIONS, PART], ids=lambda section: "-".join(section.schema))
def test_the_schema_has_the_keys_of_the_reader(section: Section) -> None:
    name, pointer = section.schema
    found = schema(name)
    for token in pointer.split("/")[1:]:
        found = found[token]
    assert list(found["properties"]) == list(section.names)
    assert found.get("required", []) == [key.name for key in section.keys if key.required]
    assert all(value["description"] for value in found["properties"].values())
    assert found["title"]


@pytest.mark.parametrize("kind", sorted(PLACES))
def test_a_good_file_is_valid(kind: str) -> None:
    assert valid(SCHEMA_OF[kind], GOOD / PLACES[kind]) == []


def test_the_files_of_this_repository_are_valid() -> None:
    for folder, name in (("procedures", "procedure"), ("rigs", "rig"), ("rules", "rules")):
        for path in sorted((ROOT / "protocols" / folder).glob("*.yaml")):
            assert valid(name, path) == [], path
    for path in sorted((ROOT / "toolkit/stepwell/rules/catalogue").glob("*.yaml")):
        assert valid("rules", path) == [], path
    assert valid("unit", ROOT / "protocols/unit.yaml") == []


def structural() -> list[tuple[str, str]]:
    found: dict[str, set[str]] = {}
    for line in (BROKEN / "expected.md").read_text(encoding="utf-8").splitlines():
        cells = [cell.strip() for cell in line.split("|")[1:-1]]
        if len(cells) == 5 and cells[2].isdigit():
            found.setdefault(cells[0], set()).add(cells[1])
    return [(name, ", ".join(sorted(rules))) for name, rules in sorted(found.items()) if rules - BEYOND_A_SCHEMA]


@pytest.mark.parametrize(("name", "rule"), structural())
def test_a_file_of_wrong_structure_fails_the_schema_too(name: str, rule: str) -> None:
    assert valid(SCHEMA_OF[name.partition("/")[0]], BROKEN / f"{name}.yaml"), rule


def test_most_structural_faults_are_seen_by_a_schema() -> None:
    assert len(structural()) >= 30


def test_the_statuses_of_a_verdict_are_those_of_the_report() -> None:
    verdict = schema("check")["definitions"]["verdict"]["properties"]
    assert verdict["status"]["enum"] == [status.value for status in Status]
    assert verdict["orders"] == {"$ref": "#/definitions/decimal"}


@pytest.mark.parametrize("report", [REPORT, CLEAN, UNDECIDED], ids=["findings", "clean", "undecided"])
def test_the_report_of_a_check_is_valid(report: CheckReport) -> None:
    document = json.loads(render_json(report, version="0.1.0"))
    assert [error.message for error in Draft7Validator(schema("check")).iter_errors(document)] == []


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("verdicts", 0, "orders"), 12),
        (("verdicts", 0, "status"), "safe"),
        (("findings", 0, "severity"), "bad"),
        (("findings", 0, "line"), 0),
        (("as_of",), "today"),
        (("procedures", 0, "extra"), 1),
    ],
)
def test_a_report_that_breaks_the_contract_is_not_valid(path: tuple[str | int, ...], value: object) -> None:
    document = json.loads(render_json(REPORT, version="0.1.0"))
    inner = document
    for token in path[:-1]:
        inner = inner[token]
    inner[path[-1]] = value
    assert list(Draft7Validator(schema("check")).iter_errors(document))
