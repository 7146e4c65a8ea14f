"""Every page through a validator of HTML, which is installed with ``npm ci`` in this folder."""

from __future__ import annotations

import json
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from stepwell.publish.shelf import Shelf, ShelfCard
from stepwell.render.site.build import SiteResult, build_site
from tests.site.library import AS_OF, library, unchecked
from tests.site.unit import PRIME, WORKSPACE

HERE = Path(__file__).parent
VALIDATOR = HERE / "node_modules" / "html-validate" / "bin" / "html-validate.mjs"


def faults(folder: Path) -> list[tuple[str, str, str]]:
    """(page, rule, message) of everything that the validator has against the pages of a folder."""
    if not VALIDATOR.exists():
        pytest.skip("html-validate is not installed: run npm ci in tests/site")
    asked = ["node", str(VALIDATOR), "--config", str(HERE / ".htmlvalidate.json"), "--formatter", "json", "**/*.html"]
    run = subprocess.run(asked, cwd=folder, capture_output=True, text=True, timeout=120, check=False)
    told = json.loads(run.stdout) if run.returncode in (0, 1) else [{"filePath": "", "messages": [], "failed": run.stderr}]
    assert not any("failed" in page for page in told), told
    return [(Path(page["filePath"]).name, one["ruleId"], one["message"]) for page in told for one in page["messages"]]


def test_every_template_is_valid(site: tuple[Path, SiteResult]) -> None:
    assert faults(site[0]) == []


def test_the_library_is_valid_and_so_is_a_released_card(tmp_path: Path) -> None:
    shelf = Shelf(
        cards=(ShelfCard(procedure="air-in-circuit", version="9.9.9", code="a" * 12, withdrawn="wrong"),), trouble=True
    )
    build_site(library(), unchecked(), as_of=AS_OF, out=tmp_path, shelf=shelf)
    assert faults(tmp_path) == []


def test_the_validator_finds_what_is_broken(tmp_path: Path) -> None:
    build_site(replace(WORKSPACE, procedures=(PRIME,)), unchecked(), as_of=AS_OF, out=tmp_path)
    page = tmp_path / "en" / "prime-adult.html"
    page.write_text(page.read_text(encoding="utf-8").replace("</article>", "<p><div></p>"), encoding="utf-8")
    assert {name for name, _, _ in faults(tmp_path)} == {"prime-adult.html"}
