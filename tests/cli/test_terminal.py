"""The real process: pipes that break, terminals without UTF-8, quiet and quick."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

from stepwell.cli.console import console_of
from tests.cli.unit import write_unit

CALL = [sys.executable, "-W", "error", "-c", "from stepwell.cli.main import run; run()"]


def start(argv: Sequence[object], **environment: str) -> subprocess.CompletedProcess[bytes]:
    environ = {**os.environ, **environment}
    return subprocess.run([*CALL, *map(str, argv)], capture_output=True, env=environ, check=False, timeout=120)


def test_a_reader_who_leaves_is_no_fault(tmp_path: Path) -> None:
    root = write_unit(tmp_path / "unit", bad=True)
    process = subprocess.Popen([*CALL, "check", str(root)], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.close()
    complaint = process.stderr.read()
    process.stderr.close()
    assert process.wait(timeout=120) in (1, 2), "the verdict stays true"
    assert complaint == b""


def test_a_terminal_without_utf8_gets_ascii_and_a_document_stays_utf8(tmp_path: Path) -> None:
    root = write_unit(tmp_path / "unit", bad=True)
    unit = root / "unit.yaml"
    unit.write_text(unit.read_text().replace("Nurse", "Prüfer"), encoding="utf-8")
    plain = start(["check", root], PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert plain.stdout.decode("ascii")
    assert plain.stderr == b""
    document = start(["check", root, "--format", "json"], PYTHONIOENCODING="cp1252", PYTHONUTF8="0")
    assert json.loads(document.stdout.decode("utf-8"))["tool"] == "stepwell"
    assert b"\r" not in document.stdout


def test_nothing_heavy_is_loaded_for_help() -> None:
    code = (
        "import sys; from stepwell.cli.main import main; main(['--help']);"
        "heavy = {'pint', 'networkx', 'typst', 'mkdocs', 'jinja2', 'jsonschema'} & set(sys.modules);"
        "sys.exit(', '.join(heavy) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


class Screen(io.StringIO):
    encoding = "utf-8"

    def isatty(self) -> bool:
        return True


def test_progress_is_for_terminals_and_leaves_no_trace() -> None:
    screen, pipe = Screen(), io.StringIO()
    console = console_of(pipe, screen, {"TERM": "xterm"})
    console.progress("Searching a very long name " * 20)
    console.progress("Done")
    console.write("result\n")
    shown = screen.getvalue()
    assert shown.startswith("\rSearching")
    assert max(map(len, shown.split("\r"))) < 100
    assert shown.endswith(" \r")
    assert pipe.getvalue() == "result\n"
    quiet = console_of(io.StringIO(), io.StringIO(), {})
    quiet.progress("Searching")
    assert not quiet.live
    assert quiet.err.getvalue() == ""  # type: ignore[attr-defined]


def test_a_complaint_says_the_mend(capsys: pytest.CaptureFixture[str]) -> None:
    console_of(sys.stdout, sys.stderr, {}).complain("It is broken.", "Mend it.")
    assert capsys.readouterr().err == "stepwell: It is broken.\n    Mend it.\n"
