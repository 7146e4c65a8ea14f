"""What README.md and DEVELOPERS.md say: their paths exist, their commands run, their sample is what the tool prints."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from stepwell.cli.main import main
from tests.cli.unit import write_unit

ROOT = Path(__file__).parent.parent.parent
DOCUMENTS = ("README.md", "DEVELOPERS.md")
PATH = re.compile(r"`((?:toolkit|tests|protocols|schema|site_templates|\.ci)/[\w./-]*|[\w-]+\.(?:md|toml))`")
LINK = re.compile(r"\]\(([^)#:]+)\)")
BLOCK = re.compile(r"(?:<!-- ([\w -]+) -->\n)?```sh\n(.*?)```", re.S)
SHELLS = ("posix", "powershell", "cmd")


def text(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


def named(document: str) -> list[str]:
    return sorted({*PATH.findall(text(document)), *LINK.findall(text(document))})


def plain_commands() -> list[str]:
    """Lines of the blocks of DEVELOPERS.md that are to be run as they stand."""
    blocks = [body for mark, body in BLOCK.findall(text("DEVELOPERS.md")) if not mark]
    return sorted({line for block in blocks for line in block.splitlines() if line})


def marked(name: str) -> str:
    found = [body for mark, body in BLOCK.findall(text("DEVELOPERS.md")) if mark == name]
    assert len(found) == 1
    return str(found[0])


def command(what: str, shell: str) -> str:
    match = re.search(rf"<!-- command: {what} {shell} -->\n```\w+\n([^\n]+)\n```", text("README.md"))
    assert match, f"README.md has no one-line command {what} for {shell}"
    return match[1]


@pytest.mark.parametrize(("document", "path"), [(document, path) for document in DOCUMENTS for path in named(document)])
def test_a_path_that_is_named_exists(document: str, path: str) -> None:
    assert (ROOT / path).exists(), f"{document} names {path}"


def test_paths_and_commands_are_found() -> None:
    assert len(named("DEVELOPERS.md")) > 20
    assert len(plain_commands()) > 8


@pytest.mark.parametrize("line", [line for line in plain_commands() if line.startswith("stepwell ")])
def test_a_command_of_the_tool_runs(line: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(ROOT)
    code = main(line.split()[1:])
    assert code == 0, capsys.readouterr()
    assert capsys.readouterr().out


@pytest.mark.parametrize("line", [line for line in plain_commands() if not line.startswith("stepwell ")])
def test_a_command_of_the_tests_collects(line: str) -> None:
    start, words = line.split()[:3], line.split()[3:]
    assert start == ["python", "-m", "pytest"]
    argv = [sys.executable, "-m", "pytest", "--collect-only", *words]
    done = subprocess.run(argv, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout
    assert re.search(r"\d+ tests? collected", done.stdout), done.stdout


def test_the_checks_are_those_that_run() -> None:
    script = text(".ci/run")
    for line in marked("checks").splitlines():
        assert f'"$bin/{line.split()[0]}"' + line.removeprefix(line.split()[0]) in script
    assert ".ci/command test posix" in script
    for line in marked("tiers").splitlines():
        assert line in (".ci/run", ".ci/run --nightly")


def test_the_command_for_the_schemas_writes_what_is_there(tmp_path: Path) -> None:
    words = marked("schemas").split()
    assert words[:2] == ["python", "-m"]
    assert words[3:] == ["schema"]
    subprocess.run([sys.executable, "-m", words[2], str(tmp_path)], check=True)
    written = sorted(tmp_path.iterdir())
    assert written
    for path in written:
        assert path.read_bytes() == (ROOT / "schema" / path.name).read_bytes()


@pytest.mark.parametrize("what", ["build", "test"])
def test_the_commands_for_windows_do_the_same(what: str) -> None:
    posix = command(what, "posix").replace("python3 -m venv", "py -m venv")
    steps = [step.replace(".venv/bin/", ".venv/Scripts/") for step in posix.split(" && ")]
    assert len(steps) == 3
    assert command(what, "cmd").replace("\\", "/").split(" && ") == steps
    assert command(what, "powershell").replace("\\", "/").split("; ") == steps


def test_the_script_reads_the_command_of_the_readme() -> None:
    done = subprocess.run(
        [sys.executable, str(ROOT / ".ci" / "command"), "test", "posix"], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == command("test", "posix")


def test_the_verbs_of_the_readme_exist(capsys: pytest.CaptureFixture[str]) -> None:
    named_verbs = set(re.findall(r"`stepwell (\w+)", text("README.md")))
    assert main(["--help"]) == 0
    listed = set(re.findall(r"^    (\w+)  ", capsys.readouterr().out, re.M))
    assert named_verbs == listed


def test_the_sample_is_what_the_tool_prints(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    sample = re.search(r"```text\n(procedures/wrong.*?)```", text("README.md"), re.S)
    assert sample
    write_unit(tmp_path, bad=True)
    monkeypatch.chdir(tmp_path)
    main(["check", "procedures/wrong.yaml"])
    printed = " ".join(capsys.readouterr().out.split())
    assert " ".join(sample[1].split()) in printed
