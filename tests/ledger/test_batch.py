"""One approval for many cards that say what they said; whoever hides a changed card among them is found."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from stepwell.ledger.batch import batch_content
from stepwell.ledger.canonical import Json
from stepwell.ledger.entry import Entry
from stepwell.ledger.policy import policy_hash, policy_plain
from stepwell.ledger.recall import errands
from stepwell.ledger.standing import ReleaseState
from stepwell.model.review import Place, Quorum, Seat
from tests.ledger.people import Office, policy
from tests.ledger.test_committee import Say, agreed, founded, say, unit

__all__ = ["say", "unit"]

OLD: dict[str, Json] = {"model": "a" * 64, "text": "b" * 64, "verdicts": "c" * 64, "template": "d" * 64, "tool": "one"}
ANEW: dict[str, Json] = {**OLD, "template": "e" * 64, "tool": "two"}


def item(parts: dict[str, Json], content: str = "f" * 64, version: str = "1.0.0") -> Json:
    return {"version": version, "content": content, "parts": {**parts}}


@pytest.fixture
def office(tmp_path: Path) -> Office:
    found = Office(tmp_path)
    found.found()
    for name in ("air", "prime"):
        asked = found.propose(name, "1" * 64, parts={**OLD})
        found.release(asked, *votes(found, asked))
    return found


def votes(office: Office, asked: Entry) -> tuple[Entry, Entry]:
    return office.approve(asked, "nurse", "specialist"), office.approve(asked, "physician", "physician")


def batch(office: Office, items: dict[str, Json], content: str | None = None) -> tuple[Entry, tuple[Entry, Entry]]:
    body: dict[str, Json] = {
        "subject": "batch", "version": "", "content": content or batch_content(items), "parts": items,
        "author": "lead", "why": "a new tool",
    }  # fmt: skip
    asked = office.write("propose", body)
    return asked, votes(office, asked)


def release(office: Office, name: str, asked: Entry, agreed: tuple[Entry, ...], one: Json, **more: Json) -> Entry:
    assert isinstance(one, dict)
    return office.release(asked, *agreed, **({"subject": name} | one | more))  # type: ignore[arg-type]


def content(office: Office, name: str) -> str:
    found = office.today().in_force(name)
    return found.content if found else ""


def test_a_batch_puts_every_card_of_it_in_force(office: Office) -> None:
    items = {name: item(ANEW) for name in ("air", "prime")}
    asked, agreed = batch(office, items)
    for name, one in items.items():
        release(office, name, asked, agreed, one)
    assert office.faults() == set()
    assert content(office, "air") == content(office, "prime") == "f" * 64
    assert office.today().proposals == ()
    assert [one.state for one in office.today().of("air")] == [ReleaseState.REPRINTED, ReleaseState.IN_FORCE]
    places = (Place(id="trolley", label="Trolley", cards=("air",)),)
    assert errands(office.today(), places) == (), "an old print says the same, so nobody has to walk"


def test_an_old_print_is_recalled_when_the_card_that_was_laid_out_anew_is_withdrawn(office: Office) -> None:
    asked, agreed = batch(office, {"air": item(ANEW)})
    new = release(office, "air", asked, agreed, item(ANEW))
    office.write("withdraw", {"subject": "air", "release": new.id, "reason": "wrong", "signer": "nurse"})
    places = (Place(id="trolley", label="Trolley", cards=("air",)),)
    assert len(errands(office.today(), places)) == 2
    assert office.today().in_force("air") is None


@pytest.mark.parametrize("changed", ["model", "text", "verdicts"])
def test_a_changed_card_is_hidden_among_unchanged_ones(office: Office, changed: str) -> None:
    hidden = item({**ANEW, changed: "9" * 64})
    asked, agreed = batch(office, {"air": item(ANEW), "prime": hidden})
    release(office, "air", asked, agreed, item(ANEW))
    release(office, "prime", asked, agreed, hidden)
    assert content(office, "air") == "f" * 64, "the honest card is not held up"
    assert content(office, "prime") == "1" * 64
    assert office.faults() == {"batch-changes-a-card"}


def refused(office: Office, name: str = "prime", was: str = "1" * 64) -> None:
    assert content(office, name) == was
    assert "batch-changes-a-card" in office.faults()


def test_a_card_is_released_by_a_batch_that_does_not_hold_it(office: Office) -> None:
    asked, agreed = batch(office, {"air": item(ANEW)})
    release(office, "prime", asked, agreed, item(ANEW))
    refused(office)


def test_a_card_is_released_otherwise_than_the_batch_holds_it(office: Office) -> None:
    asked, agreed = batch(office, {"prime": item(ANEW)})
    release(office, "prime", asked, agreed, item({**ANEW, "template": "0" * 64}))
    refused(office)


def test_something_is_put_into_a_batch_after_the_content_was_fixed(office: Office) -> None:
    honest = batch_content({"air": item(ANEW)})
    asked, agreed = batch(office, {"air": item(ANEW), "prime": item(ANEW)}, honest)
    release(office, "prime", asked, agreed, item(ANEW))
    refused(office)


def test_a_part_is_left_out_so_that_it_can_not_differ(office: Office) -> None:
    bare: dict[str, Json] = {name: value for name, value in ANEW.items() if name != "verdicts"}
    asked, agreed = batch(office, {"prime": item(bare)})
    release(office, "prime", asked, agreed, item(bare))
    refused(office)


def test_a_batch_puts_off_the_review(office: Office) -> None:
    asked, agreed = batch(office, {"prime": item(ANEW)})
    release(office, "prime", asked, agreed, item(ANEW), review="2031-01-01")
    refused(office)


def test_a_batch_brings_another_version(office: Office) -> None:
    asked, agreed = batch(office, {"prime": item(ANEW, version="1.0.1")})
    release(office, "prime", asked, agreed, item(ANEW, version="1.0.1"))
    refused(office)


def test_a_card_that_was_never_agreed_to_comes_with_a_batch(office: Office) -> None:
    asked, agreed = batch(office, {"new": item(ANEW)})
    release(office, "new", asked, agreed, item(ANEW))
    refused(office, "new", "")


def test_a_withdrawn_card_comes_back_with_a_batch(office: Office) -> None:
    gone = office.today().in_force("prime")
    assert gone is not None
    office.write("withdraw", {"subject": "prime", "release": gone.entry, "reason": "wrong", "signer": "nurse"})
    asked, agreed = batch(office, {"prime": item(ANEW)})
    release(office, "prime", asked, agreed, item(ANEW))
    refused(office, "prime", "")


def test_a_policy_comes_in_by_a_batch(office: Office) -> None:
    loose = policy(quorums=(Quorum(sort="routine", seats=(Seat(role="specialist", count=1),)),))
    one: Json = {"version": "1.0.0", "content": policy_hash(loose), "parts": {"policy": policy_plain(loose)}}
    asked, agreed = batch(office, {"policy": one})
    release(office, "policy", asked, agreed, one)
    assert office.today().policy_content != policy_hash(loose)
    assert "batch-changes-a-card" in office.faults()


def test_a_batch_is_not_itself_a_card(office: Office) -> None:
    asked, agreed = batch(office, {"prime": item(ANEW)})
    office.release(asked, *agreed)
    assert office.today().of("batch") == ()
    assert "approval-of-something-else" in office.faults()


def test_a_batch_lacks_a_seat_that_one_of_its_cards_asks_for(tmp_path: Path) -> None:
    both = (Seat(role="specialist", count=1), Seat(role="physician", count=1))
    strict = policy(
        quorums=(
            Quorum(sort="routine", seats=(Seat(role="specialist", count=1),)),
            Quorum(sort="emergency", seats=both),
            Quorum(sort="policy", seats=both),
        )
    )
    office = Office(tmp_path)
    office.found(strict)
    for name in ("air", "prime"):
        first = office.propose(name, "1" * 64, parts={**OLD})
        office.release(first, *votes(office, first))
    items = {name: item(ANEW) for name in ("air", "prime")}
    body: dict[str, Json] = {
        "subject": "batch", "version": "", "content": batch_content(items), "parts": items, "author": "lead", "why": "x",
    }  # fmt: skip
    asked = office.write("propose", body)
    one = office.approve(asked, "nurse", "specialist")
    waiting = office.today().proposals[0]
    assert [seat.role for seat in waiting.tally.missing] == ["physician"]
    release(office, "prime", asked, (one,), items["prime"])
    release(office, "air", asked, (one,), items["air"])
    assert content(office, "prime") == "f" * 64, "a routine card needs no physician here"
    assert content(office, "air") == "1" * 64
    assert "quorum-not-met" in office.faults()


# Through the command line, on the example unit.


def layout_changes(monkeypatch: pytest.MonkeyPatch, name: str = "stepwell 9.9, typst 9.9") -> None:
    from dataclasses import replace

    from stepwell.cli import layers

    then = layers.present_tool()
    newer = replace(then, version=name, template={**then.template, "card/card.typ": "0" * 64})
    monkeypatch.setattr(layers, "present_tool", lambda: newer)


def released(say: Say, *names: str) -> None:
    founded(say)
    for name in names:
        agreed(say, name, "2026-11-01")


def test_after_an_upgrade_one_approval_lays_all_cards_out_anew(
    say: Say, unit: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    released(say, "gas-lost", "pump-stopped")
    assert "No card can be released in a batch" in say("propose", "batch", "--why", "nothing new", key="lead")[1]
    layout_changes(monkeypatch)
    code, told = say("verify")
    assert code == 0
    assert told.count("made-with-another-tool") == 2
    code, told = say("propose", "batch", "--why", "a new tool", key="lead")
    assert code == 0, told
    assert "In the batch: gas-lost 1.0.0; new is the layout, the tool." in told
    assert say("approve", "batch", key="nurse")[0] == 0
    code, told = say("release", "batch")
    assert code == 2
    assert "Missing: 1 x surgeon" in told
    assert say("approve", "batch", key="physician")[0] == 0
    assert say("release", "batch", "--review", "2030-01-01")[0] == 2
    old = next((unit / "ledger" / "cards").glob("gas-lost-*.pdf"))
    code, told = say("release", "batch")
    assert code == 0, told
    assert old.exists(), "released bytes are kept"
    code, told = say("verify", str(old))
    assert code == 0
    assert "laid out anew since, and says the same" in " ".join(told.split())
    assert say("recall") == (0, "No old card is known to hang anywhere.\n")
    code, told = say("verify")
    assert code == 0
    assert "made-with-another-tool" not in told
    code, told = say("release", "batch")
    assert code == 2


@pytest.mark.nightly
def test_a_card_whose_text_changed_is_left_out_by_name(say: Say, unit: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    released(say, "gas-lost", "pump-stopped")
    layout_changes(monkeypatch)
    path = unit / "procedures" / "gas-lost.yaml"
    good = path.read_text(encoding="utf-8")
    path.write_text(re.sub("done-call: .*", "done-call: Gas on.", good), encoding="utf-8")
    code, told = say("propose", "batch", "--why", "a new tool", key="lead")
    assert code == 0
    assert "Not in the batch: gas-lost: changed: what is printed." in told
    code, told = say("propose", "batch", "--only", "gas-lost", "pump-stopped", "--why", "a new tool", key="lead")
    assert code == 2
    assert "gas-lost: changed: what is printed" in told
    # A change after the proposal is caught by each who approves, and at the release.
    path.write_text(good, encoding="utf-8")
    assert say("propose", "batch", "--why", "a new tool", key="lead")[0] == 0
    assert say("approve", "batch", key="nurse")[0] == 0
    path.write_text(re.sub("done-call: .*", "done-call: Gas on.", good), encoding="utf-8")
    assert say("approve", "batch", key="physician")[0] == 2
    path.write_text(good, encoding="utf-8")
    assert say("approve", "batch", key="physician")[0] == 0
    path.write_text(re.sub("done-call: .*", "done-call: Gas on.", good), encoding="utf-8")
    code, told = say("release", "batch")
    assert code == 2
    assert "gas-lost" in told
    assert len(list((unit / "ledger").glob("*-release-*.json"))) == 3, "the policy and the first release of each card"


@pytest.mark.nightly
def test_the_days_of_a_batch_do_not_begin_the_review_anew(say: Say, monkeypatch: pytest.MonkeyPatch) -> None:
    released(say, "gas-lost")
    layout_changes(monkeypatch)
    assert say("propose", "batch", "--why", "a new tool", key="lead", time="2027-05-01T00:00Z")[0] == 0
    for key in ("nurse", "physician"):
        assert say("approve", "batch", key=key, time=f"2027-05-0{2 if key == 'nurse' else 3}T00:00Z")[0] == 0
    assert say("release", "batch", time="2027-05-04T00:00Z")[0] == 0
    code, told = say("verify", time="2027-12-01T00:00Z")
    assert code == 1
    assert "review-overdue" in told
    assert "was due on 2027-11-" in told
