"""stepwell build with the real cards and the real site, from a relative path, twice."""

from __future__ import annotations

from pathlib import Path

from tests.cli.conftest import Call
from tests.cli.test_produce import files


def test_build_for_real(call: Call, good: Path) -> None:
    first = call("build", good.name, "--as-of", "2026-11-25")
    assert first.code == 0, first.out + first.err
    made = files(Path("out"))
    assert made["cards/right.pdf"].startswith(b"%PDF-")
    assert "report.txt" in made
    page = next(data for name, data in made.items() if name.startswith("site/") and name.endswith("right.html"))
    assert b"Zero, then fill" in page
    again = call("build", good.name, "--as-of", "2026-11-25")
    assert again.code == 0
    assert files(Path("out")) == made, "same input and day, same bytes"
