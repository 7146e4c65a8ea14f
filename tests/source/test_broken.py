"""Every broken file is told exactly: rule, line, and the words that help."""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

import pytest

from stepwell.source.faults import FAULTS
from tests.source.bench import BROKEN, GOOD, load, told, with_file


@dataclass(frozen=True)
class Row:
    rule: str
    line: int
    message: tuple[str, ...]
    mend: tuple[str, ...]


def table() -> dict[str, list[Row]]:
    found: dict[str, list[Row]] = defaultdict(list)
    for line in (BROKEN / "expected.md").read_text(encoding="utf-8").splitlines():
        cells = [cell.strip().replace("\\|", "|") for cell in re.split(r"(?<!\\)\|", line)[1:-1]]
        if len(cells) == 5 and cells[2].isdigit():
            words = [tuple(part.strip() for part in cell.split(";")) for cell in cells[3:]]
            found[cells[0]].append(Row(cells[1], int(cells[2]), words[0], words[1]))
    return found


ROWS = table()


def test_every_file_stands_in_the_table_and_the_table_names_no_other() -> None:
    files = {path.relative_to(BROKEN).with_suffix("").as_posix() for path in BROKEN.rglob("*.yaml")}
    assert files == set(ROWS)
    assert len(files) >= 40


@pytest.mark.parametrize("name", sorted(ROWS))
def test_a_broken_file_is_told_exactly(name: str, tmp_path: Path) -> None:
    kind = name.partition("/")[0]
    path, loaded = with_file(tmp_path, kind, (BROKEN / f"{name}.yaml").read_bytes())
    assert all(finding.span is not None and finding.unusable for finding in loaded.findings)
    here = [finding for finding in loaded.findings if finding.span and Path(finding.span.path).name == path.name]
    assert len(here) == len(loaded.findings), told(loaded.findings)
    lines = [(finding.rule, finding.span.line) for finding in here if finding.span]
    assert sorted(lines) == sorted((row.rule, row.line) for row in ROWS[name]), told(loaded.findings)
    for row in ROWS[name]:
        finding = next(f for f in here if f.span and (f.rule, f.span.line) == (row.rule, row.line))
        for words in row.message:
            assert words in finding.message, told(loaded.findings)
        for words in row.mend:
            assert words in finding.mend, told(loaded.findings)


def test_the_good_workspace_has_no_findings() -> None:
    loaded = load(GOOD)
    assert told(loaded.findings) == []
    assert loaded.workspace is not None
    assert [procedure.id for procedure in loaded.workspace.procedures] == ["fill-set"]
    assert loaded.failed == ()


def test_nearly_every_fault_has_a_broken_file() -> None:
    """Faults of files and folders are tested in test_workspace.py instead."""
    elsewhere = {
        "unreadable-file",
        "file-too-large",
        "nested-too-deep",
        "too-many-values",
        "key-not-text",
        "leaves-workspace",
        "unit-file-missing",
        "wrong-number-of-parts",
        "together-in-list",
        "chain-too-short",
        "no-cap-on-branch",
        "which-drive",
    }
    covered = {row.rule for rows in ROWS.values() for row in rows}
    assert {fault.name for fault in FAULTS} - elsewhere <= covered


def test_no_name_and_no_code_is_used_twice() -> None:
    assert len({fault.name for fault in FAULTS}) == len({fault.code for fault in FAULTS}) == len(FAULTS)
    assert all(re.fullmatch(r"SW0[0-9]{2}", fault.code) for fault in FAULTS)
