"""The command: it prints an address that answers, shows nothing without its secret part, and ends when it is told to."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from stepwell.cli.main import main
from tests.cli.unit import write_unit

CHECKOUT = Path(__file__).parents[3]


@pytest.mark.skipif(sys.platform == "win32", reason="an interrupt can't be sent to one process there")
def test_the_command_serves_until_it_is_interrupted(tmp_path: Path) -> None:
    write_unit(tmp_path)
    environment = {**os.environ, "PYTHONPATH": str(CHECKOUT / "toolkit")}
    argv = [sys.executable, "-m", "stepwell", "preview", str(tmp_path), "--no-browser"]
    with subprocess.Popen(argv, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment) as running:
        assert running.stdout is not None
        address = next(line.strip() for line in running.stdout if line.startswith("http://127.0.0.1:"))
        with urllib.request.urlopen(f"{address}unit", timeout=20) as answer:
            assert json.load(answer)["unit"] == "Bench unit"
        with pytest.raises(urllib.error.HTTPError) as refused:
            urllib.request.urlopen(f"{address.rsplit('/', 2)[0]}/unit", timeout=20)
        assert refused.value.code == 404
        refused.value.close()
        running.send_signal(signal.SIGINT)
        try:
            _, complaints = running.communicate(timeout=30)
        finally:
            running.kill()
    assert (running.returncode, complaints) == (0, "")


def test_a_folder_that_is_no_unit_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["preview", str(tmp_path), "--no-browser"]) == 2
    assert "unit.yaml" in capsys.readouterr().err


def test_others_are_let_in_only_when_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write_unit(tmp_path)
    assert main(["preview", str(tmp_path), "--no-browser", "--listen", "192.0.2.7"]) == 2
    told = " ".join(capsys.readouterr().err.split())
    assert "can change them too, and what is sent is not encrypted" in told
    assert "--allow-others" in told
