"""stepwell cards --paper a5: what passes is written, what does not is refused, and the A4 cards stay as they were."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Call

RIGHT = "procedures/right.yaml"


@pytest.fixture
def urgent(good: Path) -> Path:
    """The unit with a short emergency card and one that is far too long for one side of A5."""
    text = (good / RIGHT).read_text(encoding="utf-8")
    short = text.replace("kind: routine", "kind: emergency").replace("procedure: right", "procedure: short")
    (good / "procedures/short.yaml").write_text(short, encoding="utf-8")
    more = "".join(
        f'  - {{id: z{n % 9 + 1}z{chr(97 + n)}, who: nurse, say: "Look at {{line}} again."}}\n' for n in range(12)
    )
    (good / "procedures/long.yaml").write_text(short.replace("procedure: short", "procedure: long") + more, encoding="utf-8")
    return good


def test_what_passes_is_written_and_the_rest_is_refused(call: Call, urgent: Path) -> None:
    first = call("cards", urgent, "--as-of", "2026-11-25")
    assert "Wrote 3 cards to out/cards." in first.out, first.out
    before = {path.name: path.read_bytes() for path in Path("out/cards").glob("*.pdf")}
    assert sorted(before) == ["long.pdf", "right.pdf", "short.pdf"]
    result = call("cards", urgent, "--as-of", "2026-11-25", "--paper", "a5")
    told = " ".join((result.out + result.err).split())
    assert result.code == 1
    assert [path.name for path in Path("out/cards-a5").glob("*.pdf")] == ["short-a5.pdf"]
    assert "long is not written on A5." in told
    assert "SW401" in told
    assert "sides of A5 even in the smallest permitted type" in told
    assert "Wrote 1 card on A5 (of 2 for emergencies) to out/cards-a5." in told
    assert {path.name: path.read_bytes() for path in Path("out/cards").glob("*.pdf")} == before
    call("cards", urgent, "--as-of", "2026-11-25", "--out", "again")
    assert {path.name: path.read_bytes() for path in Path("again").glob("*.pdf")} == before


def test_a_unit_without_emergency_cards_gets_none(call: Call, good: Path) -> None:
    result = call("cards", good, "--paper", "a5")
    assert result.code == 0
    assert "Wrote 0 cards on A5 (of 0 for emergencies)" in result.out
    assert not list(Path("out/cards-a5").glob("*.pdf"))


def test_the_sheets_beside_the_cards_are_not_on_a5(call: Call, good: Path) -> None:
    result = call("cards", good, "--paper", "a5", "--also", "kit")
    assert result.code == 2
    assert "not laid out on A5" in result.err
