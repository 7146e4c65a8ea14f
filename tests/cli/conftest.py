"""Units on disk, and a command line whose catalogue, clock and layouts are those of the tests."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

import pytest

import stepwell.source.workspace
from stepwell.cli import layers
from stepwell.cli.main import main
from stepwell.diagnostics.finding import Finding
from tests.cli.unit import write_catalogue, write_unit


@dataclass(frozen=True)
class Result:
    code: int
    out: str
    err: str


Call = Callable[..., Result]


@pytest.fixture
def call(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Call:
    """Call the command line from an empty folder, as of a fixed day where no other is given."""
    catalogue = write_catalogue(tmp_path / "catalogue")
    monkeypatch.setattr(stepwell.source.workspace, "package_dir", lambda _: catalogue)
    monkeypatch.setattr("stepwell.cli.check.today", lambda: date(2026, 11, 25))
    monkeypatch.setattr("stepwell.cli.produce.today", lambda: date(2026, 11, 25))
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)

    def run(*argv: object) -> Result:
        code = main([str(word) for word in argv])
        captured = capsys.readouterr()
        return Result(code, captured.out, captured.err)

    return run


@pytest.fixture
def good(tmp_path: Path) -> Path:
    return write_unit(tmp_path / "here" / "good")


@pytest.fixture
def bad(tmp_path: Path) -> Path:
    return write_unit(tmp_path / "here" / "bad", bad=True)


@dataclass
class Layouts:
    """What the stand-ins for cards and site will do and have done."""

    findings: tuple[Finding, ...] = ()
    fail: Exception | None = None
    dates: tuple[date, ...] = ()
    tried: list[tuple[str, ...] | None] = field(default_factory=list)
    """Per site: the procedures whose slips were tried; None where that was not asked for."""


@dataclass(frozen=True)
class Made:
    pdf: bytes
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class Beside:
    path: str
    pdf: bytes
    findings: tuple[Finding, ...]
    in_english: int = 0


@pytest.fixture
def layouts(monkeypatch: pytest.MonkeyPatch) -> Layouts:
    """Cards and site replaced by stand-ins: this folder tests the command line, not the layout."""
    state = Layouts()

    def card(sheet: object, as_of: date, _workspace: object, _report: object, _cache: object) -> Made:
        if state.fail:
            raise state.fail
        state.dates += (as_of,)
        return Made(f"%PDF {sheet.id} {as_of}".encode(), state.findings)  # type: ignore[attr-defined]

    def site(_root: object, _workspace: object, _report: object, as_of: date, out: Path, tried: Any) -> Made:
        state.tried.append(None if tried is None else tuple(one.report.procedure for one in tried))
        assert out.is_absolute(), "the builder of the site takes relative paths from elsewhere"
        out.mkdir(exist_ok=True)
        (out / "index.html").write_text(f"site as of {as_of}", encoding="utf-8")
        return Made(b"", ())

    def beside(
        _workspace: object,
        _report: object,
        sorts: tuple[str, ...],
        as_of: date,
        _console: object,
        _cache: object,
        language: str = "en",
    ) -> list[Beside]:
        if state.fail:
            raise state.fail
        marked = 0 if language == "en" else 2
        return [
            Beside(f"{sort}/one.pdf", f"%PDF {sort} {language} {as_of}".encode(), state.findings, marked) for sort in sorts
        ]

    monkeypatch.setattr(layers, "card", card)
    monkeypatch.setattr(layers, "beside", beside)
    monkeypatch.setattr(layers, "site", site)
    return state
