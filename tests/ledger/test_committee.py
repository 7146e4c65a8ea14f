"""The committee's walk through the command line: found a policy, release a card, change it, recall the old one."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from datetime import date
from io import StringIO
from pathlib import Path

import pdfplumber
import pytest

from stepwell.cli import layers
from stepwell.cli.console import console_of
from stepwell.cli.main import main
from stepwell.publish.due import months_later
from stepwell.render.junit import render_junit
from stepwell.render.sarif import render_sarif
from stepwell.report.results import CheckReport
from tests.ledger.people import KEYS, LINES

DEMO = Path(__file__).parent.parent.parent / "protocols"
REVIEW = f"""
review:
  signers:
    lead: {{roles: [specialist], key: {LINES["lead"]}}}
    nurse-a: {{roles: [specialist], key: {LINES["nurse"]}}}
    surgeon-a: {{roles: [surgeon], key: {LINES["physician"]}}}
    surgeon-b: {{roles: [surgeon]}}
  quorum:
    routine: {{specialist: 1, surgeon: 1}}
    emergency: {{specialist: 1, surgeon: 1}}
    policy: {{specialist: 1, surgeon: 1}}
  minutes-count: true
places:
  trolley-1: {{label: Trolley in bay 1, cards: [gas-lost]}}
  trolley-2: {{label: Trolley in bay 2, cards: [gas-lost, line-apart]}}
"""

Say = Callable[..., tuple[int, str]]


@pytest.fixture
def unit(tmp_path: Path) -> Path:
    return unit_in(tmp_path)


def unit_in(tmp_path: Path) -> Path:
    folder = tmp_path / "unit"
    shutil.copytree(DEMO, folder)
    shutil.rmtree(folder / "ledger", ignore_errors=True)
    path = folder / "unit.yaml"
    text = path.read_text(encoding="utf-8")
    kept = text.split("\nreview:")[0].split("\nplaces:")[0]
    path.write_text(kept + REVIEW, encoding="utf-8")
    card = folder / "procedures" / "gas-lost.yaml"
    card.write_text(re.sub('version: "[^"]+"', 'version: "1.0.0"', card.read_text(encoding="utf-8")), encoding="utf-8")
    for name, key in KEYS.items():
        (tmp_path / f"{name}.key").write_bytes(key)
    return folder


@pytest.fixture
def say(unit: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Say:
    """Run a verb on the unit at an hour of its own; the answer is the exit code and all that was printed."""
    monkeypatch.setenv("COLUMNS", "200")
    return saying(unit, capsys)


def saying(unit: Path, capsys: pytest.CaptureFixture[str] | None = None, first: int = 0) -> Say:
    """The same beginning at the hour ``first``; what was printed is told only where it is captured."""
    tmp_path, hour = unit.parent, iter(range(first, 1000))

    def run(*words: str, key: str | None = None, time: str | None = None) -> tuple[int, str]:
        n = next(hour)
        when = time or f"2026-11-{2 + n // 20:02d}T{n % 20:02d}:00Z"
        signed = ("--key", str(tmp_path / f"{key}.key")) if key else ()
        code = main([*words, *signed, "--unit", str(unit), "--time", when])
        told = capsys.readouterr() if capsys else None
        return code, told.out + told.err if told else ""

    return run


Compared = Callable[[Path, Path], tuple[int, str]]


@pytest.fixture
def compared(capsys: pytest.CaptureFixture[str]) -> Compared:
    """What the comparison of two folders says, and its exit code."""

    def run(old: Path, new: Path) -> tuple[int, str]:
        code = main(["compare", str(old), str(new)])
        told = capsys.readouterr()
        return code, " ".join((told.out + told.err).split())

    return run


def founded(say: Say) -> None:
    assert say("propose", "policy", "--why", "the first", key="lead")[0] == 0
    assert say("approve", "policy", key="nurse")[0] == 0
    assert say("approve", "policy", key="physician")[0] == 0
    code, told = say("release", "policy")
    assert code == 0, told
    assert "in force" in told


def agreed(say: Say, name: str, day: str) -> str:
    assert say("propose", name, "--why", "new", key="lead")[0] == 0
    assert say("approve", name, key="nurse")[0] == 0
    code, told = say("approve", name, "--minutes", "Committee, item 4", "--by", "surgeon-b", "--entered-by", "lead")
    assert code == 0, told
    assert "recorded, not signed" in told
    assert say("approve", name, "--walk-through", day)[0] == 0
    code, told = say("release", name)
    assert code == 0, told
    return told


def test_from_the_first_policy_to_the_recalled_card(say: Say, unit: Path, compared: Compared) -> None:
    founded(say)
    told = agreed(say, "gas-lost", "2026-11-01")
    assert "Released gas-lost 1.0.0" in told
    first = next((unit / "ledger" / "cards").glob("gas-lost-1.0.0-*.pdf"))
    code, told = say("verify", str(first))
    assert (code, told[:4]) == (0, "YES:")
    code, told = say("recall")
    assert (code, told) == (0, "No old card is known to hang anywhere.\n")

    # A maker's notice: the text of a step changes, and with it the version.
    before = unit.parent / "before"
    shutil.copytree(unit, before)
    path = unit / "procedures" / "gas-lost.yaml"
    text = path.read_text(encoding="utf-8").replace('version: "1.0.0"', 'version: "1.1.0"')
    path.write_text(re.sub("done-call: .*", "done-call: Gas on, as the notice says.", text), encoding="utf-8")
    code, told = compared(before, unit)
    assert code == 0, "nothing is weaker"
    assert "Is anything weaker? No" in told
    assert "Trolley in bay 1, Trolley in bay 2" in told, "the committee sees which prints become old"
    code, told = say("verify")
    assert "Changed: text" in told
    assert code == 0, "the released card is still the one in force"
    code, told = say("release", "gas-lost")
    assert code == 2
    assert "not what was proposed any more: text, translations changed" in " ".join(told.split())

    assert say("propose", "gas-lost", "--why", "maker's notice", key="lead")[0] == 0
    code, told = say("approve", "gas-lost", key="lead")
    assert "Does not count: The author approved" in told
    assert say("approve", "gas-lost", key="nurse")[0] == 0
    code, told = say("release", "gas-lost")
    assert code == 2
    assert "Missing: 1 x surgeon" in told
    assert not list((unit / "ledger" / "cards").glob("gas-lost-1.1.0-*"))
    assert say("approve", "gas-lost", key="physician")[0] == 0
    code, told = say("release", "gas-lost")
    assert code == 0, "wording only, so no new walk-through is needed"
    assert "Take 1.0.0 (en, de) down at Trolley in bay 1, and hang 1.1.0 (en)." in told, "the German of it is not translated"

    code, told = say("verify", str(first))
    assert (code, told[:3]) == (1, "NO:")
    assert "superseded" in told
    code, told = say("recall")
    assert code == 1
    assert told.count("[ ] gas-lost 1.0.0") == 2
    code, told = say("recall", "--done", "trolley-1", "gas-lost", "--by", "nurse-a")
    assert told.count("[ ] gas-lost 1.0.0") == 1
    code, told = say("verify")
    assert code == 1
    assert "old-card-still-hangs" in told
    assert say("recall", "--done", "trolley-2", "gas-lost", "--by", "nurse-a") == (
        0,
        "No old card is known to hang anywhere.\n",
    )

    code, told = say("withdraw", "gas-lost", "--reason", "The notice was wrong.", key="nurse")
    assert code == 0
    assert "Take 1.1.0 down at Trolley in bay 2." in told
    second = next((unit / "ledger" / "cards").glob("gas-lost-1.1.0-*.pdf"))
    code, told = say("verify", str(second))
    assert code == 1
    assert "withdrawn" in told
    assert "The notice was wrong." in told
    assert "hang nothing" in say("recall")[1]


def test_what_a_notice_on_a_sensor_means_is_told_on_one_screen(unit: Path, compared: Compared) -> None:
    """One sensor becomes of the kind that is zeroed wet: the priming, which zeroes it dry, is now wrong, and so it says."""
    before = unit.parent / "before"
    shutil.copytree(unit, before)
    rig = unit / "rigs" / "adult-bedside.yaml"
    text = rig.read_text(encoding="utf-8")
    changed = re.sub(r"(drain-pressure: \{kind: pressure-sensor.*)trait: built-in", r"\1trait: fluid-line", text)
    assert changed != text
    rig.write_text(changed, encoding="utf-8")
    code, told = compared(before, unit)
    assert code == 1
    first = told.split("Other changes")[0]
    assert "Is anything weaker? YES" in first
    assert "fluid-line-sensor-zeroed-unvented" in first or "SW102" in first
    assert "1 change, 1 shown." in first


def test_a_change_of_what_is_done_needs_a_walk_through(say: Say, unit: Path) -> None:
    founded(say)
    assert say("propose", "gas-lost", "--why", "first", key="lead")[0] == 0
    assert say("approve", "gas-lost", key="nurse")[0] == 0
    assert say("approve", "gas-lost", key="physician")[0] == 0
    code, told = say("release", "gas-lost")
    assert code == 2
    assert "nobody has walked through it" in " ".join(told.split())
    assert not (unit / "ledger" / "cards").exists()


def test_a_code_from_a_card_is_answered(say: Say, unit: Path) -> None:
    founded(say)
    agreed(say, "gas-lost", "2026-11-01")
    code = next(word for word in say("verify")[1].replace("\n", " ").split() if len(word) == 12 and word.isalnum())
    assert say("verify", code)[1].startswith("YES:")
    assert say("verify", f"stepwell:gas-lost@1.0.0#{code}")[0] == 0
    assert say("verify", f"stepwell:line-apart@1.0.0#{code}")[0] == 1
    assert say("verify", "000000000000")[1].startswith("NO:")
    assert say("verify", "gibberish")[0] == 2


def test_a_card_with_an_unsafe_order_is_not_released_whoever_votes(say: Say, unit: Path) -> None:
    founded(say)
    path = unit / "procedures" / "air-in-circuit.yaml"
    text = path.read_text(encoding="utf-8")
    worse = text.replace("do: {gas-off: gas}", "do: {gas-on: gas}").replace("say: Turn {gas} off.", "say: Turn {gas} on.")
    path.write_text(worse, encoding="utf-8")
    code, told = say("propose", "air-in-circuit", "--why", "worse", key="lead")
    assert "VIOLATED" in told or "NOT DECIDED" in told
    say("approve", "air-in-circuit", key="nurse")
    say("approve", "air-in-circuit", key="physician")
    code, told = say("release", "air-in-circuit")
    assert code == 2
    assert "can't be released" in told


def test_an_altered_ledger_makes_every_yes_a_cannot_tell(say: Say, unit: Path) -> None:
    founded(say)
    agreed(say, "gas-lost", "2026-11-01")
    card = next((unit / "ledger" / "cards").glob("*.pdf"))
    walk = next((unit / "ledger").glob("*-approve-*.json"))
    good = walk.read_bytes()
    other = unit / "ledger" / ("20260101-000000-approve-" + "0" * 12 + ".json")
    other.write_bytes(good)
    code, told = say("verify", str(card))
    assert code == 1
    assert told.startswith("CANNOT TELL")


def test_an_overdue_review_is_a_finding_of_verify_and_of_check(say: Say, unit: Path) -> None:
    founded(say)
    agreed(say, "gas-lost", "2026-11-01")
    code, told = say("verify", time="2027-12-01T00:00Z")
    assert code == 1
    assert "review-overdue" in told
    loaded = layers.load(unit, console_of(StringIO(), StringIO(), {}))
    assert loaded.workspace is not None
    nothing = CheckReport(as_of=date(2027, 12, 1), procedures=(), findings=())
    found = layers.with_ledger(unit, loaded.workspace, nothing, date(2027, 12, 1))
    assert found.exit_code() == 1
    assert "review-overdue" in render_junit(found)
    assert '"ruleId": "SW515"' in render_sarif(found, (), version="0")
    assert layers.with_ledger(unit, loaded.workspace, nothing, date(2026, 12, 1)) == nothing


@pytest.mark.parametrize(
    ("start", "months", "then"),
    [
        (date(2026, 1, 31), 1, date(2026, 2, 28)),
        (date(2023, 11, 30), 3, date(2024, 2, 29)),
        (date(2026, 11, 25), 12, date(2027, 11, 25)),
        (date(2026, 12, 1), 1, date(2027, 1, 1)),
    ],
)
def test_months_are_counted_as_people_do(start: date, months: int, then: date) -> None:
    assert months_later(start, months) == then


def test_a_place_with_a_card_that_does_not_exist_is_refused(unit: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = unit / "unit.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("cards: [gas-lost]", "cards: [gas-losst]"), encoding="utf-8")
    assert main(["check", str(unit)]) == 2
    told = capsys.readouterr().out
    assert "gas-losst" in told
    assert "never be recalled" in told.replace("\n    ", " ")


def test_the_site_knows_what_is_in_force(say: Say, unit: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    founded(say)
    agreed(say, "gas-lost", "2026-11-01")

    def page(name: str) -> str:
        main(["site", str(unit), "--out", str(tmp_path / "site"), "--as-of", "2026-11-25", "--no-cache"])
        capsys.readouterr()
        return (tmp_path / "site" / name).read_text(encoding="utf-8")

    assert "DRAFT - NOT FOR USE" not in page("en/gas-lost.html")
    assert "DRAFT - NOT FOR USE" in page("en/line-apart.html")
    path = unit / "procedures" / "gas-lost.yaml"
    good = path.read_text(encoding="utf-8")
    changed = re.sub('version: "[^"]+"', 'version: "1.0.1"', good)
    path.write_text(re.sub("done-call: .*", "done-call: Gas on.", changed), encoding="utf-8")
    assert "The card in force is version 1.0.0" in page("en/gas-lost.html")
    path.write_text(good, encoding="utf-8")
    say("withdraw", "gas-lost", "--reason", "A wrong hose.", key="nurse")
    assert "Withdrawn. Take every copy down" in page("en/gas-lost.html")
    old = (tmp_path / "site" / "en" / "gas-lost" / "v" / "1-0-0.html").read_text(encoding="utf-8")
    assert "WITHDRAWN. DO NOT USE. Take every copy down. Reason: A wrong hose." in old
    assert 'href="gas-lost/v/index.html"' in (tmp_path / "site" / "en" / "gas-lost.html").read_text(encoding="utf-8")
    assert not (tmp_path / "site" / "en" / "line-apart" / "v").exists(), "nothing of it was ever released"


def test_two_texts_under_one_version_are_not_released(say: Say, unit: Path) -> None:
    founded(say)
    agreed(say, "gas-lost", "2026-11-01")
    path = unit / "procedures" / "gas-lost.yaml"
    path.write_text(re.sub("done-call: .*", "done-call: Gas on.", path.read_text(encoding="utf-8")), encoding="utf-8")
    assert say("propose", "gas-lost", "--why", "shorter", key="lead")[0] == 0
    assert say("approve", "gas-lost", key="nurse")[0] == 0
    assert say("approve", "gas-lost", key="physician")[0] == 0
    code, told = say("release", "gas-lost")
    assert code == 2
    assert "said something else" in " ".join(told.split())


def test_what_is_found_besides_the_rules_is_not_released_either(say: Say, unit: Path) -> None:
    """An end that is not reached breaks no rule; the card is not released all the same."""
    founded(say)
    path = unit / "procedures" / "gas-lost.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("ends:\n", "ends:\n  - {shut: return-clamp}\n", 1), encoding="utf-8")
    assert say("propose", "gas-lost", "--why", "a promise too many", key="lead")[0] == 0
    assert say("approve", "gas-lost", key="nurse")[0] == 0
    assert say("approve", "gas-lost", key="physician")[0] == 0
    code, told = say("release", "gas-lost")
    assert code == 2
    assert "[SW204]" in told


def test_a_card_whose_order_was_not_checked_says_so_when_it_is_released(say: Say, unit: Path) -> None:
    path = unit / "unit.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("    policy: {", "    check: {specialist: 1}\n    policy: {", 1), encoding="utf-8")
    (unit / "procedures" / "call-round.yaml").write_text(
        'procedure: call-round\ntitle: Call round\nversion: "1.0.0"\nkind: check\nrig: adult-va\nuse: read-and-do\n'
        "people: [specialist]\nuse-when: Each shift.\ndo-not-use-when: During an emergency.\ndone-call: Done.\n"
        "body:\n  - {id: a2bc, who: specialist, say: Call the physician on duty.}\n",
        encoding="utf-8",
    )
    founded(say)
    assert say("propose", "call-round", "--why", "new", key="lead")[0] == 0
    assert say("approve", "call-round", key="nurse")[0] == 0
    assert say("approve", "call-round", "--walk-through", "2026-11-01")[0] == 0
    code, told = say("release", "call-round")
    assert code == 0, told
    with pdfplumber.open(next((unit / "ledger" / "cards").glob("call-round-*.pdf"))) as pdf:
        words = " ".join((pdf.pages[0].extract_text() or "").split())
    assert "Mind: order not checked" in words
    assert "DRAFT" not in words


@pytest.mark.parametrize(
    ("file", "old", "new", "part"),
    [
        ("procedures/gas-lost.yaml", "do: {gas-on: gas, ensure: true}", "do: [{wait: 5 s}, {gas-on: gas}]", "model"),
        ("procedures/gas-lost.yaml", "say: Look at the blood", "say: Look hard at the blood", "text"),
        ("procedures/gas-lost.yaml", "if-not: Call again", "if-not: Do not call again", "text"),
        ("unit.yaml", "start-sweep: {value: 3 L/min", "start-sweep: {value: 30 L/min", "text"),
        ("rigs/adult-va.yaml", "label: oxygen cylinder", "label: air cylinder", "text"),
    ],
    ids=["an-action", "a-step", "an-answer", "a-figure", "the-set"],
)
def test_what_was_approved_is_altered_before_the_release(
    say: Say, unit: Path, file: str, old: str, new: str, part: str
) -> None:
    founded(say)
    assert say("propose", "gas-lost", "--why", "new", key="lead")[0] == 0
    assert say("approve", "gas-lost", key="nurse")[0] == 0
    path = unit / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")
    for words in (("approve", "gas-lost"), ("release", "gas-lost")):
        code, told = say(*words, **({"key": "physician"} if words[0] == "approve" else {}))
        assert code == 2
        assert "not what was proposed any more" in " ".join(told.split())
    assert part in told
    assert not list((unit / "ledger").glob("*-release-*gas*"))
    assert not (unit / "ledger" / "cards").exists()


def test_the_layout_is_altered_between_approval_and_release(say: Say, unit: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from tests.ledger.test_batch import layout_changes

    founded(say)
    assert say("propose", "gas-lost", "--why", "new", key="lead")[0] == 0
    assert say("approve", "gas-lost", key="nurse")[0] == 0
    layout_changes(monkeypatch)
    code, told = say("release", "gas-lost")
    assert (code, "template, tool changed" in " ".join(told.split())) == (2, True)
