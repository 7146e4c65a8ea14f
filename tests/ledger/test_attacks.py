"""Attacks on the ledger and its approvals, each of which must be seen; and those that can't be, which must be known.

The list is also the documentation of what the ledger is good for: the names of the tests say what somebody tries.
"""

from __future__ import annotations

import hashlib
import json
import shutil
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from stepwell.ledger.chain import head_problems
from stepwell.ledger.entry import make_entry, written
from stepwell.ledger.policy import policy_hash, policy_plain
from stepwell.ledger.standing import ReleaseState
from stepwell.ledger.store import card_problems, file_name, keep_card
from stepwell.model.review import Quorum, Seat, Signer
from tests.ledger.people import LINES, Office, policy

OLD, NEW = "a" * 64, "b" * 64


@pytest.fixture
def office(tmp_path: Path) -> Office:
    found = Office(tmp_path)
    found.found()
    return found


def in_force(office: Office, subject: str = "air") -> str | None:
    release = office.today().in_force(subject)
    return None if release is None else release.content


def test_without_an_attack_all_is_well(office: Office) -> None:
    office.agreed("air", OLD)
    office.agreed("air", NEW)
    assert in_force(office) == NEW
    assert [release.state for release in office.today().of("air")] == [ReleaseState.SUPERSEDED, ReleaseState.IN_FORCE]
    assert office.faults() == set()


def test_01_a_letter_of_an_entry_is_changed(office: Office) -> None:
    release = office.agreed("air", OLD)
    path = office.file(release)
    path.write_bytes(path.read_bytes().replace(b"2027-03-03", b"2029-03-03"))
    assert in_force(office) is None
    assert "entry-altered" in office.faults()


def test_02_an_entry_is_changed_and_renamed_to_fit(office: Office) -> None:
    asked = office.propose("air", OLD)
    votes = (office.approve(asked, "nurse", "specialist"), office.approve(asked, "physician", "physician"))
    release = office.release(asked, *votes)
    entry = make_entry(
        votes[0].kind, votes[0].time, votes[0].parents, votes[0].body | {"version": "2.0.0"}, votes[0].signature
    )
    office.file(votes[0]).unlink()
    (office.root / "ledger" / file_name(entry)).write_bytes(written(entry))
    assert in_force(office) is None, release.id
    assert "entry-missing" in office.faults()


def test_03_an_entry_is_deleted_from_the_middle(office: Office) -> None:
    office.agreed("air", OLD)
    office.file(office.written[-2]).unlink()
    assert in_force(office) is None
    assert "entry-missing" in office.faults()


def test_04_the_end_is_cut_off_to_hide_a_withdrawal_but_the_head_was_noted(office: Office) -> None:
    release = office.agreed("air", OLD)
    gone = office.write("withdraw", {"subject": "air", "release": release.id, "reason": "wrong", "signer": "nurse"})
    office.file(gone).unlink()
    assert in_force(office) == OLD
    assert [p.fault.name for p in head_problems(office.chain(), [gone.id[:16]])] == ["witnessed-head-missing"]
    assert head_problems(office.chain(), [release.id]) == ()


def test_05_an_approval_is_replayed_for_another_content(office: Office) -> None:
    asked = office.propose("air", OLD)
    votes = (office.approve(asked, "nurse", "specialist"), office.approve(asked, "physician", "physician"))
    office.release(asked, *votes)
    again = office.propose("air", NEW)
    office.release(again, *votes)
    assert in_force(office) == OLD
    assert {"approval-of-something-else", "quorum-not-met"} <= office.faults()


def test_06_a_signature_is_moved_under_another_content(office: Office) -> None:
    asked = office.propose("air", OLD)
    vote = office.approve(asked, "nurse", "specialist")
    again = office.propose("air", NEW)
    body = vote.body | {"content": NEW}
    forged = make_entry("approve", office.now, office.chain().heads, body, vote.signature)
    (office.root / "ledger" / file_name(forged)).write_bytes(written(forged))
    office.release(again, forged, office.approve(again, "physician", "physician"))
    assert in_force(office) is None
    assert {"signature-does-not-fit", "signature-replayed"} <= office.faults()


def test_07_a_signature_is_stripped_and_minutes_do_not_count(office: Office) -> None:
    asked = office.propose("air", OLD)
    bare = office.approve(asked, "nurse", "specialist", key="", minutes="so it is said")
    office.release(asked, bare, office.approve(asked, "physician", "physician"))
    assert in_force(office) is None
    assert "signature-does-not-fit" in office.faults()


def test_08_a_stranger_signs_in_the_name_of_the_nurse(office: Office) -> None:
    asked = office.propose("air", OLD)
    forged = office.approve(asked, "nurse", "specialist", key="stranger")
    office.release(asked, forged, office.approve(asked, "physician", "physician"))
    assert in_force(office) is None
    assert "signature-does-not-fit" in office.faults()


def test_09_a_stranger_signs_in_the_own_name(office: Office) -> None:
    asked = office.propose("air", OLD)
    forged = office.approve(asked, "stranger", "specialist")
    office.release(asked, forged, office.approve(asked, "physician", "physician"))
    assert in_force(office) is None
    assert "signer-not-allowed" in office.faults()


def test_10_the_author_approves(office: Office) -> None:
    asked = office.propose("air", OLD, author="nurse")
    office.release(asked, office.approve(asked, "nurse", "specialist"), office.approve(asked, "physician", "physician"))
    assert in_force(office) is None
    assert "author-approved" in office.faults()


def test_11_one_person_fills_two_seats(tmp_path: Path) -> None:
    office = Office(tmp_path)
    seats = (Seat(role="specialist", count=2), Seat(role="physician", count=1))
    office.found(policy(quorums=(*policy().quorums[:1], Quorum(sort="emergency", seats=seats), *policy().quorums[2:])))
    asked = office.propose("air", OLD)
    twice = [office.approve(asked, "nurse", "specialist"), office.approve(asked, "nurse", "specialist")]
    office.release(asked, *twice, office.approve(asked, "physician", "physician"))
    assert in_force(office) is None
    assert {"one-person-two-seats", "quorum-not-met"} <= office.faults()


def test_12_one_key_under_two_names(tmp_path: Path) -> None:
    office = Office(tmp_path)
    double = Signer(id="nurse-b", roles=("physician",), key=LINES["nurse"])
    office.found(policy(signers=(*policy().signers, double)))
    asked = office.propose("air", OLD)
    office.release(
        asked, office.approve(asked, "nurse", "specialist"), office.approve(asked, "nurse-b", "physician", key="nurse")
    )
    assert in_force(office) is None
    assert "one-person-two-seats" in office.faults()


def test_13_somebody_takes_a_role_that_is_not_theirs(office: Office) -> None:
    asked = office.propose("air", OLD)
    office.release(asked, office.approve(asked, "nurse", "specialist"), office.approve(asked, "lead", "physician"))
    assert in_force(office) is None
    assert "signer-not-allowed" in office.faults()


def test_14_a_key_that_has_run_out(tmp_path: Path) -> None:
    office = Office(tmp_path)
    short = Signer(id="nurse", roles=("specialist",), key=LINES["nurse"], until=date(2026, 3, 5))
    office.found(policy(signers=(policy().signers[0], short, policy().signers[2])))
    office.now = datetime(2026, 6, 1, tzinfo=UTC)
    asked = office.propose("air", OLD)
    office.release(asked, office.approve(asked, "nurse", "specialist"), office.approve(asked, "physician", "physician"))
    assert in_force(office) is None
    assert "signer-not-allowed" in office.faults()


def test_15_a_key_that_has_run_out_is_used_with_an_older_date(tmp_path: Path) -> None:
    office = Office(tmp_path)
    short = Signer(id="nurse", roles=("specialist",), key=LINES["nurse"], until=date(2026, 3, 5))
    office.found(policy(signers=(policy().signers[0], short, policy().signers[2])))
    office.now = datetime(2026, 6, 1, tzinfo=UTC)
    asked = office.propose("air", OLD)
    early = datetime(2026, 3, 4, tzinfo=UTC)
    office.release(
        asked, office.approve(asked, "nurse", "specialist", time=early), office.approve(asked, "physician", "physician")
    )  # type: ignore[arg-type]
    assert in_force(office) is None
    assert "entry-dated-back" in office.faults()


def test_16_a_release_is_written_without_approvals(office: Office) -> None:
    office.release(office.propose("air", OLD))
    assert in_force(office) is None
    assert "quorum-not-met" in office.faults()


def test_17_a_release_is_bound_to_other_parts_than_were_proposed(office: Office) -> None:
    asked = office.propose("air", OLD)
    votes = (office.approve(asked, "nurse", "specialist"), office.approve(asked, "physician", "physician"))
    office.release(asked, *votes, parts={"model": NEW, "text": NEW})
    assert in_force(office) is None
    assert "approval-of-something-else" in office.faults()


def test_18_the_policy_is_loosened_without_the_old_quorum(office: Office) -> None:
    loose = policy(quorums=tuple(Quorum(sort=s, seats=()) for s in ("routine", "emergency", "check", "policy")))
    asked = office.propose("policy", policy_hash(loose), parts={"policy": policy_plain(loose)})
    office.release(asked)
    office.release(office.propose("air", OLD))
    assert in_force(office) is None
    assert office.today().policy_content == policy_hash(policy())
    assert "quorum-not-met" in office.faults()


def test_19_a_signer_adds_a_friend_and_both_approve_the_friend(office: Office) -> None:
    friend = Signer(id="stranger", roles=("physician", "specialist"), key=LINES["stranger"])
    wider = policy(signers=(*policy().signers, friend))
    asked = office.propose("policy", policy_hash(wider), parts={"policy": policy_plain(wider)})
    office.release(asked, office.approve(asked, "nurse", "specialist"), office.approve(asked, "stranger", "physician"))
    assert office.today().policy_content == policy_hash(policy())
    assert "signer-not-allowed" in office.faults()


def test_20_a_second_beginning_with_a_policy_of_ones_own(office: Office) -> None:
    """Nobody can tell which beginning is the true one, so nothing is in force until one of them is taken away."""
    office.agreed("air", OLD)
    mine = policy(
        signers=(Signer(id="stranger", roles=("physician", "specialist"), key=LINES["stranger"]),),
        quorums=(Quorum(sort="policy", seats=()), Quorum(sort="emergency", seats=())),
    )
    asked = office.propose("policy", policy_hash(mine), "stranger", parts={"policy": policy_plain(mine)}, parents=[])
    founded = office.release(asked, parents=(asked.id,))  # type: ignore[arg-type]
    office.release(office.propose("air", NEW, parents=[founded.id]), parents=(office.written[-1].id,))  # type: ignore[arg-type]
    assert "ledger-begins-twice" in office.faults()
    assert in_force(office) is None
    assert office.today().policy is None
    for entry in office.written[-4:]:
        office.file(entry).unlink()
    assert in_force(office) == OLD


def test_21_the_kept_card_is_exchanged(office: Office) -> None:
    path = keep_card(office.root, "air", "1.0.0", b"%PDF the card")
    digest = path.stem.rsplit("-", 1)[1]
    asked = office.propose("air", OLD)
    votes = (office.approve(asked, "nurse", "specialist"), office.approve(asked, "physician", "physician"))
    full = hashlib.sha256(b"%PDF the card").hexdigest()
    assert full.startswith(digest)
    office.release(asked, *votes, pdf=full)
    assert card_problems(office.root, office.today().releases) == ()
    path.write_bytes(b"%PDF another card")
    assert [p.fault.name for p in card_problems(office.root, office.today().releases)] == ["released-pdf-altered"]


def test_22_a_withdrawn_card_is_not_in_force_and_nothing_older_comes_back(office: Office) -> None:
    office.agreed("air", OLD)
    new = office.agreed("air", NEW)
    office.write("withdraw", {"subject": "air", "release": new.id, "reason": "wrong", "signer": "nurse"}, "nurse")
    assert in_force(office) is None
    assert [release.state for release in office.today().of("air")] == [ReleaseState.SUPERSEDED, ReleaseState.WITHDRAWN]


def test_23_two_releases_side_by_side_are_told_and_neither_is_in_force(office: Office) -> None:
    fork = office.chain().heads

    def branch(content: str) -> None:
        asked = office.propose("air", content, parents=list(fork))
        one = office.approve(asked, "nurse", "specialist", parents=(asked.id,))  # type: ignore[arg-type]
        two = office.approve(asked, "physician", "physician", parents=(one.id,))  # type: ignore[arg-type]
        office.release(asked, one, two, parents=(two.id,))  # type: ignore[arg-type]

    branch(OLD)
    branch(NEW)
    assert in_force(office) is None
    assert "releases-side-by-side" in office.faults()
    assert len(office.chain().heads) == 2
    office.agreed("air", "c" * 64)
    assert in_force(office) == "c" * 64
    assert len(office.chain().heads) == 1


def test_two_copies_of_a_folder_are_merged_by_putting_their_files_together(office: Office, tmp_path: Path) -> None:
    """No attack: two people work on copies, and nothing has to be signed again."""
    other = Office(tmp_path / "copy", now=office.now)
    shutil.copytree(office.root / "ledger", other.root / "ledger")
    office.agreed("air", OLD)
    other.agreed("prime", NEW)
    for path in (other.root / "ledger").glob("*.json"):
        shutil.copyfile(path, office.root / "ledger" / path.name)
    assert (in_force(office), in_force(office, "prime")) == (OLD, NEW)
    assert len(office.chain().heads) == 2
    merged = office.agreed("air", "c" * 64)
    assert len(office.chain().heads) == 1
    assert {OLD, NEW} <= {office.chain().by_id[id_].text("content") for id_ in office.chain().before(merged.id)}
    assert office.faults() == set()


def test_24_keys_are_doubled_or_reordered_in_an_entry(office: Office) -> None:
    release = office.agreed("air", OLD)
    path = office.file(release)
    data = json.loads(path.read_bytes())
    path.write_text(json.dumps(data, indent=1))
    assert "entry-altered" in office.faults()
    path.write_bytes(written(release).replace(b'"kind":"release"', b'"kind":"release","kind":"release"'))
    assert "entry-altered" in office.faults()
    path.write_bytes(written(release))
    assert office.faults() == set()


@pytest.mark.parametrize("data", [b"", b"[]", b"{}", b"\xff\xfe", b"[" * 100_000, b"null", b'{"stepwell":1}'])
def test_25_rubbish_in_the_folder_is_told_and_does_no_harm(office: Office, data: bytes) -> None:
    office.agreed("air", OLD)
    (office.root / "ledger" / "20260101-000000-release-000000000000.json").write_bytes(data)
    (office.root / "ledger" / "notes.txt").write_bytes(data)
    assert in_force(office) == OLD
    assert {"entry-altered", "not-an-entry"} <= office.faults()


def test_what_can_not_be_seen_the_whole_folder_is_set_back_to_an_older_copy(office: Office, tmp_path: Path) -> None:
    """Without a head that was noted elsewhere, a folder of last month looks as good as today's. The tool says so."""
    copy = tmp_path / "copy"
    shutil.copytree(office.root / "ledger", copy)
    office.agreed("air", OLD)
    shutil.rmtree(office.root / "ledger")
    shutil.copytree(copy, office.root / "ledger")
    assert office.faults() == set()


def test_what_can_not_be_seen_a_stolen_key(office: Office) -> None:
    """A signature shows whose key it was, not who held it."""
    asked = office.propose("air", OLD)
    office.release(asked, office.approve(asked, "nurse", "specialist"), office.approve(asked, "physician", "physician"))
    assert office.faults() == set()
