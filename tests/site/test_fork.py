"""The way out if mkdocs goes another way: its maintained fork builds the same site to the byte."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from stepwell.render.site.build import SiteResult

BUILD = """
import sys
from pathlib import Path
import properdocs
import properdocs.replacement
from stepwell.render.site import mkdocs_site
from stepwell.render.site.build import build_site
from tests.site.unit import AS_OF, REPORT, WORKSPACE
assert mkdocs_site.build.__module__ == "properdocs.commands.build"
build_site(WORKSPACE, REPORT, as_of=AS_OF, out=Path(sys.argv[1]))
"""


def test_the_fork_builds_an_identical_tree(site: tuple[Path, SiteResult], tmp_path: Path) -> None:
    pytest.importorskip("properdocs", reason="properdocs is not installed")
    told = subprocess.run(
        [sys.executable, "-c", BUILD, str(tmp_path)], capture_output=True, text=True, timeout=120, check=False
    )
    assert told.returncode == 0, told.stderr
    ours = {str(p.relative_to(site[0])): p.read_bytes() for p in site[0].rglob("*") if p.is_file()}
    theirs = {str(p.relative_to(tmp_path)): p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()}
    assert len(ours) > 40
    assert sorted(ours) == sorted(theirs)
    assert ours == theirs
