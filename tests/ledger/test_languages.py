"""A release covers every language of the unit that the whole card stands in: print it, change it, withdraw it, forge it."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
from dataclasses import replace
from datetime import date, timedelta
from html import unescape
from pathlib import Path

import pdfplumber
import pytest

from stepwell.cli.main import main
from stepwell.ledger.batch import batch_content
from stepwell.ledger.canonical import Json
from stepwell.ledger.entry import Entry, EntryProblemError, make_entry, read_entry, written
from stepwell.ledger.prints import Print, approved_as, prints_of, prints_plain
from stepwell.ledger.standing import ReleaseState, standing
from stepwell.ledger.store import append, read_ledger
from stepwell.publish.sheet import lines_of, spoken
from stepwell.publish.sheet_again import sheet_again
from tests.cards.test_text import in_reading_order, squeezed
from tests.ledger.people import START, Office
from tests.ledger.test_committee import Say, saying, unit_in

DRAFT, ENTWURF = "DRAFT - NOT FOR USE", "ENTWURF - NICHT VERWENDEN"
ALTERED = "die freigegebene Karte fehlt oder wurde verändert"
CHANGED = "seit der Freigabe von Version 1.0.0 geändert"
OTHER = "Version 1.0.0 ist in dieser Sprache nicht freigegeben"
GONE = "Version 1.0.0 wurde zurückgezogen"
AS_OF = "2026-11-25"
LATER = 100
"""The hour at which what a test does itself begins."""


def small(folder: Path) -> Path:
    """The example unit with two of its cards, so that a test has little to lay out."""
    unit = unit_in(folder)
    names = ("gas-lost", "line-apart")
    for path in (*(unit / "procedures").iterdir(), *(unit / "rules").iterdir()):
        told = re.search(r"procedure: ([a-z-]+)", path.read_text(encoding="utf-8"))
        if told is not None and told[1] not in names:
            path.unlink()
    assert main(["words", str(unit)]) == 0  # the words of the others are put aside
    return unit


@pytest.fixture(scope="module")
def once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A unit whose card gas-lost 1.0.0 is released in English and in German."""
    unit = small(tmp_path_factory.mktemp("languages"))
    voted(saying(unit), "policy")
    voted(saying(unit, first=20), "gas-lost")
    return unit


def voted(says: Say, subject: str, why: str = "new") -> str:
    told = ""
    walked = ("--walk-through", "2026-11-01")
    for words, key in (
        (("propose", subject, "--why", why), "lead"),
        (("approve", subject), "nurse"),
        (("approve", subject), "physician"),
        *([] if subject in ("policy", "batch") else [(("approve", subject, *walked), None)]),
        (("release", subject), None),
    ):
        code, told = says(*words, key=key)
        assert code == 0, told
    return told


@pytest.fixture
def unit(once: Path, tmp_path: Path) -> Path:
    """A copy of it."""
    shutil.copytree(once.parent, tmp_path, dirs_exist_ok=True)
    return tmp_path / "unit"


@pytest.fixture
def say(unit: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Say:
    return flat(unit, capsys, monkeypatch)


def flat(unit: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, first: int = LATER) -> Say:
    monkeypatch.setenv("COLUMNS", "200")
    told = saying(unit, capsys, first)

    def run(*words: str, key: str | None = None, time: str | None = None) -> tuple[int, str]:
        code, said = told(*words, key=key, time=time)
        return code, " ".join(said.split())

    return run


def cards(unit: Path, language: str, name: str = "gas-lost") -> Path:
    out = unit.parent / f"cards-{language}"
    main(["cards", str(unit), "--language", language, "--out", str(out), "--as-of", AS_OF])
    return out / f"{name}.pdf"


def text_of(path: Path) -> str:
    return in_reading_order(path.read_bytes())


def is_draft(path: Path, words: str) -> bool:
    """Whether the mark stands on every page of it; it is on none or on all."""
    with pdfplumber.open(path) as pdf:
        marked = [words in " ".join((page.extract_text() or "").split()) for page in pdf.pages]
    assert len(set(marked)) == 1
    return marked[0]


def kept(unit: Path, language: str = "", version: str = "1.0.0") -> Path:
    said = f"-{language}" if language else ""
    name = re.compile(rf"gas-lost-{re.escape(version)}{said}-[0-9a-f]{{12}}\.pdf")
    (found,) = [path for path in (unit / "ledger" / "cards").iterdir() if name.fullmatch(path.name)]
    return found


def last_release(unit: Path) -> Entry:
    return [one for one in read_ledger(unit).entries if one.kind == "release" and one.subject == "gas-lost"][-1]


def reworded(unit: Path, context: str, how: str) -> None:
    """Change one German entry: ``another`` word, or the same word no longer confirmed (``fuzzy``), or none (``missing``)."""
    path = unit / "translations" / "de.po"
    text = path.read_text(encoding="utf-8")
    block = next(one for one in text.split("\n\n") if f'msgctxt "{context}"' in one)
    new = {
        "another": re.sub(r'msgstr "([^"]+)"', r'msgstr "\1, neu"', block),
        "fuzzy": block.replace("msgctxt", "#, fuzzy\nmsgctxt", 1),
        "missing": re.sub(r'msgstr "[^"]+"', 'msgstr ""', block),
    }[how]
    assert new != block
    path.write_text(text.replace(block, new), encoding="utf-8")


def test_a_german_card_is_released_with_the_english_one(unit: Path, say: Say) -> None:
    german, english = cards(unit, "de"), cards(unit, "en")
    assert german.read_bytes() == kept(unit, "de").read_bytes()
    assert english.read_bytes() == kept(unit).read_bytes()
    assert not is_draft(german, ENTWURF)
    assert not is_draft(english, DRAFT)
    said = text_of(german)
    assert "[EN]" not in said
    assert "Gültig ab 03.11.2026. Überprüfen bis 03.11.2027." in said
    assert "Spülgas ist ausgefallen" in said
    for path in (german, english):
        assert say("verify", str(path))[0] == 0
    assert "in the language de is in force" in say("verify", str(german))[1]
    (one,) = last_release(unit).prints
    assert one.language == "de"
    assert one.pdf == hashlib.sha256(german.read_bytes()).hexdigest()
    code, told = say("verify")
    assert code == 0, told
    assert f", in de {one.text[:12]}" in told
    assert squeezed(one.text[:12]) in squeezed(said)
    code, told = say("verify", f"stepwell:gas-lost@1.0.0#{one.text[:12]}")
    assert (code, told[:40]) == (0, "YES: gas-lost 1.0.0 in the language de is in force"[:40])
    assert is_draft(cards(unit, "de", "line-apart"), ENTWURF)


def site(unit: Path) -> Path:
    out = unit.parent / "site"
    main(["site", str(unit), "--no-slips", "--out", str(out), "--as-of", AS_OF])
    return out


def said_on(page: Path) -> str:
    """The words of a page, without its style, scripts and marks."""
    text = page.read_text(encoding="utf-8")
    return squeezed(unescape(re.sub(r"<[^>]*>", "", re.sub(r"<(style|script)\b.*?</\1>", "", text, flags=re.DOTALL))))


def test_the_german_page_says_what_the_german_card_says(unit: Path) -> None:
    page, alone = (site(unit) / "de" / name for name in ("gas-lost.html", "one-file/gas-lost.html"))
    (one,) = last_release(unit).prints
    sheet = sheet_again(json.loads((unit / "ledger" / "kept" / f"{one.text}.json").read_text(encoding="utf-8")))
    assert sheet is not None
    printed = squeezed(text_of(kept(unit, "de")))
    for told in (said_on(page), said_on(alone)):
        assert "ENTWURF" not in told
        assert "Freigegeben" in told
        assert "Gültigab03.11.2026.Überprüfenbis03.11.2027." in told
        assert squeezed(sheet.short_hash) in told
        for line in lines_of(sheet.items):
            assert squeezed(spoken(line.text)) in told
            assert squeezed(spoken(line.text)) in printed
    about = (unit.parent / "site" / "de" / "pages" / "about.html").read_text(encoding="utf-8")
    assert f'data-released="1.0.0" data-code="{last_release(unit).mapping("parts")["text"]}'[:42] in about
    assert f'{one.text[:12]}"' in about
    assert "ENTWURF" in said_on(unit.parent / "site" / "de" / "line-apart.html")


@pytest.mark.parametrize("how", ["another", "fuzzy"])
def test_the_german_page_of_a_changed_text_is_a_draft_and_says_why(unit: Path, how: str) -> None:
    reworded(unit, "a6wd", how)
    out = site(unit)
    told = said_on(out / "de" / "gas-lost.html")
    assert "ENTWURF-NICHTVERWENDEN" in told
    assert "InKraftistdieKarteVersion1.0.0.SeitderFreigabevonVersion1.0.0geändert" in told
    assert ("1Zeileistnichtübersetzt" in told) == (how == "fuzzy")
    assert 'href="gas-lost/v/index.html"' in (out / "de" / "gas-lost.html").read_text(encoding="utf-8")
    old = said_on(out / "de" / "gas-lost" / "v" / "1-0-0.html")
    assert "InKraftseit03.11.2026" in old
    assert "SauerstoffflascheöffnenundSchlauchvonSpülgasaufstecken." in old
    assert "Wennnicht:" in old
    assert "[EN]" not in old
    assert "1.0.0,gültigab03.11.2026." in said_on(out / "de" / "gas-lost" / "v" / "index.html")
    assert "DRAFT" not in said_on(out / "en" / "gas-lost.html")
    assert "Released" in said_on(out / "en" / "gas-lost.html")


def test_the_english_card_is_no_other_because_there_is_a_german_one(unit: Path) -> None:
    entry = last_release(unit)
    assert entry.text("pdf") == hashlib.sha256(kept(unit).read_bytes()).hexdigest()
    assert "de" not in text_of(kept(unit)).split()


@pytest.mark.parametrize("how", ["another", "fuzzy", "missing"])
def test_a_german_line_that_changed_makes_the_german_a_draft_and_leaves_the_english(unit: Path, say: Say, how: str) -> None:
    before = kept(unit).read_bytes()
    reworded(unit, "a6wd", how)
    german = cards(unit, "de")
    assert is_draft(german, ENTWURF)
    said = text_of(german)
    assert CHANGED in said
    assert ("1 Zeile ist nicht übersetzt" in said) == (how != "another")
    assert ("[EN]" in said) == (how != "another")
    assert cards(unit, "en").read_bytes() == before, "its readers read what was agreed to"
    assert say("verify", str(german))[0] == 1
    assert say("verify", str(kept(unit, "de")))[0] == 0, "the print that hangs is the one in force"
    code, told = say("verify")
    assert code == 0
    assert "changed-since-release" in told
    code, told = say("propose", "gas-lost", "--why", "one word", key="lead")
    assert code == 0
    assert ("is part of what is agreed to, and is released with it" in told) == (how == "another")
    for key in ("nurse", "physician"):
        assert say("approve", "gas-lost", key=key)[0] == 0
    code, told = say("release", "gas-lost")
    assert code == 2, "two German texts would bear one version"
    assert "Version 1.0.0 was released before in the language de, and said something else in it" in told


def test_a_label_that_only_a_drawing_would_show_is_bound_as_well(unit: Path) -> None:
    (one,) = last_release(unit).prints
    assert "rainagekan" not in (unit / "ledger" / "kept" / f"{one.text}.json").read_text(encoding="utf-8")
    reworded(unit, "part:drain-cannula-clamp", "another")
    german = cards(unit, "de")
    assert is_draft(german, ENTWURF)
    assert CHANGED in text_of(german)
    assert not is_draft(cards(unit, "en"), DRAFT)


def test_an_english_line_that_changed_makes_both_drafts(unit: Path) -> None:
    path = unit / "procedures" / "gas-lost.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("Call again on the", "Call again, on the"), encoding="utf-8")
    english, german = cards(unit, "en"), cards(unit, "de")
    assert is_draft(english, DRAFT)
    assert is_draft(german, ENTWURF)
    assert "changed since version 1.0.0 was released" in text_of(english)
    assert CHANGED in text_of(german)


def test_a_withdrawal_takes_both_out(unit: Path, say: Say) -> None:
    code, told = say("withdraw", "gas-lost", "--reason", "A wrong hose.", key="nurse")
    assert code == 0
    assert "Withdrew gas-lost 1.0.0 (en, de)" in told
    assert "Take 1.0.0 (en, de) down at Trolley in bay 1." in told
    for language, words in (("de", ENTWURF), ("en", DRAFT)):
        assert is_draft(cards(unit, language), words)
        code, told = say("verify", str(kept(unit, "" if language == "en" else language)))
        assert code == 1
        assert "is withdrawn. Take it down. Reason: A wrong hose." in told
    assert GONE in text_of(unit.parent / "cards-de" / "gas-lost.pdf")
    (one,) = last_release(unit).prints
    code, told = say("recall")
    assert code == 1
    assert f", in de {one.text[:12]}" in told
    assert "in en and de" in say("verify")[1]


def test_where_old_prints_hang_is_told_by_language(unit: Path, say: Say) -> None:
    """The next version is released in English alone, so the German prints come down and nothing takes their place."""
    path = unit / "procedures" / "gas-lost.yaml"
    text = path.read_text(encoding="utf-8").replace('version: "1.0.0"', 'version: "1.1.0"')
    path.write_text(re.sub("done-call: .*", "done-call: Gas on, as the notice says.", text), encoding="utf-8")
    told = voted(say, "gas-lost", "maker's notice")
    assert "NOT released in the language de: 1 text of its card is not translated or not confirmed." in told
    assert "Take 1.0.0 (en, de) down at Trolley in bay 1, and hang 1.1.0 (en)." in told
    assert "languages" not in last_release(unit).body
    german = cards(unit, "de")
    assert is_draft(german, ENTWURF)
    assert "Version 1.1.0 ist in dieser Sprache nicht freigegeben" in text_of(german)
    code, told = say("verify", str(kept(unit, "de")))
    assert code == 1
    assert "NO: gas-lost 1.0.0 in the language de is superseded" in told
    assert "hang 1.1.0 (en)" in say("recall")[1]


def test_german_that_comes_later_is_released_under_the_same_version(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    unit = small(tmp_path)
    po = unit / "translations" / "de.po"
    whole = po.read_text(encoding="utf-8")
    reworded(unit, "a6wd", "fuzzy")
    says = flat(unit, capsys, monkeypatch, 0)
    voted(says, "policy")
    told = says("propose", "gas-lost", "--why", "new", key="lead")[1]
    assert "In the language de it is a draft and stays one: 1 text of its card" in told
    told = voted(says, "gas-lost")
    assert "NOT released in the language de" in told
    assert "languages" not in last_release(unit).body
    english = kept(unit)
    assert OTHER in text_of(cards(unit, "de"))
    assert not is_draft(cards(unit, "en"), DRAFT)
    po.write_text(whole, encoding="utf-8")
    assert is_draft(cards(unit, "de"), ENTWURF), "nobody has agreed to it yet"
    assert not is_draft(cards(unit, "en"), DRAFT)
    told = voted(says, "gas-lost", "now in German too")
    assert "Released in the language de" in told
    assert not is_draft(cards(unit, "de"), ENTWURF)
    assert "down at" not in told, "the English prints say what they said"
    assert says("verify", str(english))[0] == 0


# Who has write access, and no approvals.


@pytest.mark.parametrize("how", ["another byte", "no file"])
def test_a_kept_german_card_that_was_tampered_with_is_found_and_not_handed_out(unit: Path, say: Say, how: str) -> None:
    path = kept(unit, "de")
    good = path.read_bytes()
    if how == "no file":
        path.unlink()
    else:
        path.write_bytes(good.replace(b"%PDF-1.", b"%PDF-2.", 1))
        assert path.read_bytes() != good
    code, told = say("verify")
    assert code == 1
    assert "released-pdf-altered" in told
    assert "gas-lost 1.0.0 in the language de." in told
    german = cards(unit, "de")
    assert is_draft(german, ENTWURF)
    assert ALTERED in text_of(german)
    assert not is_draft(cards(unit, "en"), DRAFT)


def forged(unit: Path, **changes: str) -> Entry:
    """The release again, from the same approvals, with other words about its German card."""
    old = last_release(unit)
    (one,) = old.prints
    body = {**old.body, "languages": {"de": {"text": one.text, "labels": one.labels, "pdf": one.pdf} | changes}}
    chain = read_ledger(unit)
    made = make_entry("release", old.time + timedelta(hours=1), chain.heads, body)
    append(unit, made)
    return made


def test_an_entry_that_claims_a_german_card_without_its_bytes_gives_no_card(unit: Path, say: Say) -> None:
    forged(unit, pdf="a" * 64)
    code, told = say("verify")
    assert code == 1
    assert "released-pdf-altered" in told
    german = cards(unit, "de")
    assert is_draft(german, ENTWURF)
    assert ALTERED in text_of(german)


def test_an_entry_with_a_german_text_that_nobody_approved_is_no_release(unit: Path, say: Say) -> None:
    before = last_release(unit).id
    made = forged(unit, text="b" * 64)
    code, told = say("verify")
    assert code == 1
    assert f"entry {made.id[:12]}" in told
    assert "Its text in another language is not what was approved." in told
    code, told = say("verify", str(kept(unit)))
    assert (code, told[:12]) == (1, "CANNOT TELL:"), "somebody wrote to the ledger who should not"
    assert before in {release.entry for release in standing(read_ledger(unit), {}, date(2026, 12, 1)).releases}
    for language, words in (("de", ENTWURF), ("en", DRAFT)):
        assert is_draft(cards(unit, language), words)
    assert "mit der Liste der Freigaben stimmt etwas nicht" in text_of(unit.parent / "cards-de" / "gas-lost.pdf")


def test_labels_that_nobody_approved_are_no_release_either(unit: Path, say: Say) -> None:
    forged(unit, labels="c" * 64)
    assert "Its text in another language is not what was approved." in say("verify")[1]


def test_a_german_text_that_was_not_kept_or_holds_english_can_t_be_shown_to_be_whole(unit: Path, say: Say) -> None:
    (one,) = last_release(unit).prints
    path = unit / "ledger" / "kept" / f"{one.text}.json"
    assert "Spülgas" in path.read_text(encoding="utf-8")
    path.unlink()
    code, told = say("verify")
    assert code == 1
    assert "released-untranslated" in told
    assert "CANNOT TELL" in say("verify", str(kept(unit, "de")))[1]


# The entries by themselves.

TEXTS = (
    Print(language="de", text="1" * 64, labels="2" * 64, pdf="3" * 64),
    Print(language="fr", text="4" * 64, labels="5" * 64, pdf=""),
)
PARTS: dict[str, Json] = {"model": "6" * 64, "text": "7" * 64, "verdicts": "8" * 64, **approved_as(TEXTS)}


@pytest.fixture
def office(tmp_path: Path) -> Office:
    found = Office(tmp_path)
    found.found()
    return found


def voted_in(office: Office, asked: Entry) -> tuple[Entry, Entry]:
    return office.approve(asked, "nurse", "specialist"), office.approve(asked, "physician", "physician")


def put(office: Office, parts: dict[str, Json], prints: tuple[Print, ...], content: str = "9" * 64) -> Entry:
    asked = office.propose("air", content, parts=parts)
    more: dict[str, Json] = {"languages": prints_plain(prints)} if prints else {}
    return office.release(asked, *voted_in(office, asked), **more)


def test_a_language_without_a_card_is_told_so_that_the_approval_can_be_compared(office: Office) -> None:
    put(office, PARTS, TEXTS)
    (release,) = office.today().releases
    assert release.languages == ("en", "de")
    assert release.pdf_in("de") == "3" * 64
    assert (release.text_in("fr"), release.pdf_in("fr")) == ("", "")
    put(office, PARTS, TEXTS[:1])
    assert "approval-of-something-else" in office.faults(), "one of the texts that were approved is kept quiet"


@pytest.mark.parametrize(
    "plain",
    [
        {},
        [],
        {"en": {"text": "1" * 64, "labels": "2" * 64, "pdf": "3" * 64}},
        {"../../x": {"text": "1" * 64, "labels": "2" * 64, "pdf": "3" * 64}},
        {"de": {"text": "1" * 64, "labels": "2" * 64, "pdf": ""}},
        {"de": {"text": "1" * 64, "labels": "2" * 64, "pdf": "../../x"}},
        {"de": {"text": "1" * 64, "labels": "2" * 64}},
        {"de": {"text": "1" * 64, "labels": "2" * 64, "pdf": "3" * 64, "more": ""}},
        {"de": {"text": 1, "labels": "2" * 64, "pdf": "3" * 64}},
    ],
)
def test_languages_that_say_nothing_or_something_else_are_no_entry(office: Office, plain: Json) -> None:
    asked = office.propose("air", "9" * 64, parts=PARTS)
    with pytest.raises(EntryProblemError, match="its languages are"):
        office.release(asked, *voted_in(office, asked), languages=plain)
    with pytest.raises(ValueError, match="no"):
        prints_of(plain)


def test_only_a_release_has_languages(office: Office) -> None:
    body = {**office.propose("air", "9" * 64, parts=PARTS).body, "languages": prints_plain(TEXTS)}
    with pytest.raises(EntryProblemError, match="has the keys"):
        make_entry("propose", START, (), body)


def test_a_print_whose_german_is_no_more_does_not_say_the_same(office: Office) -> None:
    put(office, PARTS, TEXTS)
    put(office, {**PARTS, "tool": "two"}, TEXTS, "a" * 64)
    assert [one.state for one in office.today().releases] == [ReleaseState.REPRINTED, ReleaseState.IN_FORCE]
    put(office, {**PARTS, "tool": "three"}, (), "b" * 64)
    states = [one.state for one in office.today().releases]
    assert states == [ReleaseState.SUPERSEDED, ReleaseState.SUPERSEDED, ReleaseState.IN_FORCE]


def in_batch(office: Office, parts: dict[str, Json], prints: tuple[Print, ...]) -> None:
    item: dict[str, Json] = {"version": "1.0.0", "content": "e" * 64, "parts": parts}
    body: dict[str, Json] = {
        "subject": "batch", "version": "", "content": batch_content({"air": item}), "parts": {"air": item},
        "author": "lead", "why": "a new tool",
    }  # fmt: skip
    asked = office.write("propose", body)
    more: dict[str, Json] = {"languages": prints_plain(prints)} if prints else {}
    office.release(asked, *voted_in(office, asked), subject="air", **item, **more)


def test_a_batch_lays_the_german_out_anew_too(office: Office) -> None:
    put(office, PARTS, TEXTS)
    in_batch(office, {**PARTS, "tool": "two"}, (replace(TEXTS[0], pdf="d" * 64), TEXTS[1]))
    assert not office.faults()
    current = office.today().in_force("air")
    assert current is not None
    assert current.pdf_in("de") == "d" * 64


def test_a_batch_can_t_change_the_german_or_take_it_away(office: Office) -> None:
    put(office, PARTS, TEXTS)
    other = (replace(TEXTS[0], text="d" * 64), TEXTS[1])
    in_batch(office, {**PARTS, **approved_as(other)}, other)
    assert "batch-changes-a-card" in office.faults()
    current = office.today().in_force("air")
    assert current is not None
    assert current.text_in("de") == "1" * 64


def test_a_batch_can_t_leave_the_german_out(office: Office) -> None:
    put(office, PARTS, TEXTS)
    in_batch(office, {**PARTS, "tool": "two"}, ())
    assert "batch-changes-a-card" in office.faults()


def test_a_batch_brings_in_german_only_if_it_was_approved_before(office: Office) -> None:
    put(office, PARTS, ())
    french = (TEXTS[0], replace(TEXTS[1], pdf="d" * 64))
    in_batch(office, {**PARTS, "tool": "two"}, french)
    assert not office.faults(), "the same words were agreed to"
    other = (replace(TEXTS[0], text="d" * 64), TEXTS[1])
    put(office, {"model": "6" * 64, "text": "7" * 64, "verdicts": "8" * 64}, (), "c" * 64)
    in_batch(office, {**PARTS, **approved_as(other)}, other)
    assert "batch-changes-a-card" in office.faults()


OLD = (
    b'{"body":{"approvals":[],"content":"'
    + b"a" * 64
    + b'","effective":"2026-03-03","parts":{"model":"m","text":"t"},"pdf":"","proposal":"p","review":"2027-03-03",'
    b'"signer":"","subject":"air","tool":"0.9","version":"1.0.0"},"kind":"release","parents":[],"signature":null,'
    b'"stepwell":1,"time":"2026-03-02T10:00:00Z"}\n'
)
"""A release as it was written before there were cards in other languages."""


def test_an_old_entry_is_read_and_written_as_it_was() -> None:
    entry = read_entry(OLD)
    assert written(entry) == OLD
    assert entry.prints == ()
    assert entry.id == hashlib.sha256(OLD.rstrip(b"\n")).hexdigest()


def test_an_old_release_is_in_force_as_it_was(office: Office) -> None:
    old: dict[str, Json] = {"model": "6" * 64, "text": "7" * 64, "translations": "8" * 64}
    put(office, old, ())
    assert not office.faults()
    (release,) = office.today().releases
    assert (release.state, release.languages) == (ReleaseState.IN_FORCE, ("en",))
