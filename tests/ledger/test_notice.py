"""The committee's walk: a maker's notice changes how one kind of sensor is zeroed, and the old card is hunted down."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from stepwell.cli.main import main
from tests.ledger.test_committee import Compared, Say, agreed, compared, founded, say, unit

__all__ = ["compared", "say", "unit"]

NAME = "zero-fluid-line"
SCREEN = 12
"""Lines that no screen cuts off."""


def written(unit: Path, text: str) -> None:
    (unit / "procedures" / f"{NAME}.yaml").write_text(text, encoding="utf-8")


def test_a_notice_on_the_zeroing_of_one_kind_of_sensor(
    say: Say, unit: Path, compared: Compared, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    text = (unit / "procedures" / f"{NAME}.yaml").read_text(encoding="utf-8")
    text = re.sub('version: "[^"]+"', 'version: "1.0.0"', text)
    written(unit, text)
    config = unit / "unit.yaml"
    seats = "routine: {specialist: 1, surgeon: 1}"
    config.write_text(
        config.read_text(encoding="utf-8").replace("cards: [gas-lost]", f"cards: [gas-lost, {NAME}]"), encoding="utf-8"
    )
    assert seats in config.read_text(encoding="utf-8")
    founded(say)
    agreed(say, NAME, "2026-11-01")
    old = next((unit / "ledger" / "cards").glob(f"{NAME}-1.0.0-*.pdf"))
    before = tmp_path / "before"
    shutil.copytree(unit, before)

    # The notice: these transducers are zeroed a while after they were opened to the air. The card is withdrawn at once.
    code, told = say("withdraw", NAME, "--reason", "Maker's notice on transducers.", key="nurse")
    assert code == 0
    assert "Take 1.0.0 (en, de) down at Trolley in bay 1." in told

    # A first draft that puts the zero before the tap is turned: one screen says what that means.
    margin = " " * 12
    zeroed = text.replace('version: "1.0.0"', 'version: "1.1.0"')
    zeroed = zeroed.replace(f"{margin}say: Zero", f"{margin}say: Wait {{bleed-time}}. Zero")
    for place in ("drain", "pre", "post"):
        zero = f"{{zero: {place}-pressure}}"
        zeroed = zeroed.replace(f"{margin}do: {zero}", f"{margin}do: [{{wait: bleed-time}}, {zero}]")
    assert zeroed.count("wait: bleed-time") == 3
    step = re.compile(r"( +- id: a2ai\n(?: {12}.*\n)+)( +- id: a3ze\n(?: {12}.*\n)+)")
    wrong = step.sub(r"\2\1", zeroed)
    assert wrong != zeroed
    written(unit, wrong)
    code, told = compared(before, unit)
    assert code == 1
    assert "Is anything weaker? YES" in told
    assert "verdicts: 3 worse; order of steps: 1 turned round; slips: 1 card not to be compared" in told
    assert "SW102, serious): holds → VIOLATED" in told
    assert say("propose", NAME, "--why", "maker's notice", key="lead")[0] == 0
    assert "VIOLATED" in say("propose", NAME, "--why", "maker's notice, again", key="lead")[1]

    # As it should be: nothing is weaker, on one screen, with where the old prints hang.
    written(unit, zeroed)
    main(["compare", str(before), str(unit), "--no-slips", "--as-of", "2026-11-25"])
    screen = capsys.readouterr().out
    assert "Is anything weaker? No" in " ".join(screen.split())
    assert "hangs: Trolley in bay 1" in " ".join(screen.split())
    top = " ".join(" ".join(screen.splitlines()[:SCREEN]).split())
    assert "Not as far as the model can tell" in top
    assert "What follows: verdicts: none changed; order of steps: none changed; slips: not compared" in top
    assert "cards to re-print: 1, old prints in 1 place." in top
    assert say("propose", NAME, "--why", "maker's notice", key="lead")[0] == 0
    assert say("approve", NAME, key="nurse")[0] == 0
    assert say("approve", NAME, key="physician")[0] == 0
    code, told = say("release", NAME)
    assert (code, "nobody has walked through it" in " ".join(told.split())) == (2, True), "what is done has changed"
    assert say("approve", NAME, "--walk-through", "2026-11-02", "--note", "at the trainer's set")[0] == 0
    code, told = say("release", NAME)
    assert code == 0, told
    assert "Take 1.0.0 (en, de) down at Trolley in bay 1, and hang 1.1.0 (en)." in told

    code, told = say("recall")
    assert (code, f"[ ] {NAME} 1.0.0" in told) == (1, True)
    assert say("verify")[0] == 1, "an old card that still hangs is a finding"
    assert say("recall", "--done", "trolley-1", NAME, "--by", "nurse-a")[0] == 0
    assert say("verify")[0] == 0
    code, told = say("verify", str(old))
    assert code == 1
    assert "withdrawn. Take it down. Reason: Maker's notice on transducers." in " ".join(told.split())
    new = next((unit / "ledger" / "cards").glob(f"{NAME}-1.1.0-*.pdf"))
    assert say("verify", str(new))[1].startswith("YES:")
