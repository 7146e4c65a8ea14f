"""Published incidents, each as a small card that must be refused and one that must pass.

The sources are named as the collection of trade facts names them. The cards are made up: they keep what went wrong and
nothing else of the case.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from stepwell.report.results import Status
from tests.rules.harness import CASES, Case, catalogue, changed_rig, play

FOLDER = Path(__file__).parent / "incidents"
INCIDENTS = sorted(path.stem for path in FOLDER.glob("*.md"))
SOURCES = {
    "UK perfusion-society safety report 129.",
    "UK perfusion-society safety report 113.",
    "AHRQ PSNet WebM&M, Broman, 29 Apr 2020.",
    "Hong Kong risk alert July 2021 via Canadian Patient Safety Institute.",
}
_FENCE = re.compile(r"^```yaml (refused|mended|rig)\n(.*?)^```$", re.M | re.S)


def text_of(name: str) -> str:
    return (FOLDER / f"{name}.md").read_text("utf-8")


def cards(name: str) -> tuple[Case, ...]:
    """The cards of an incident in the order of its file."""
    rig = (CASES / "base-rig.yaml").read_text("utf-8")
    found: list[Case] = []
    for sort, block in _FENCE.findall(text_of(name)):
        if sort == "rig":
            rig = changed_rig(rig, block)
        else:
            found.append(Case(rule=name, number=len(found) + 1, fails=sort == "refused", text=block, rig=rig))
    return tuple(found)


EVERY_CARD = [card for name in INCIDENTS for card in cards(name)]


@pytest.mark.parametrize("card", EVERY_CARD, ids=lambda card: f"{card.rule}-{card.number}")
def test_the_card_of_the_incident_is_refused_and_the_mended_one_passes(card: Case, tmp_path: Path) -> None:
    played = play(card, tmp_path / "unit")
    assert played.found == card.wanted, f"found:\n{played.messages}"
    assert bool(card.wanted) is card.fails
    fatal = {rule.name for rule in catalogue() if rule.severity.name == "FATAL"}
    broken = {rule for rule, status in played.verdicts.items() if status is Status.VIOLATED}
    assert bool(broken & (fatal | {"pump-left-dead-headed"})) is card.fails


@pytest.mark.parametrize("name", INCIDENTS)
def test_the_incident_names_a_source_that_was_read_and_both_sorts_of_card(name: str) -> None:
    source = re.search(r"^Source: (.+)$", text_of(name), re.M)
    assert source is not None
    assert source[1] in SOURCES
    assert {card.fails for card in cards(name)} == {True, False}


def test_every_source_has_its_incident() -> None:
    assert {line for name in INCIDENTS for line in re.findall(r"^Source: (.+)$", text_of(name), re.M)} == SOURCES
