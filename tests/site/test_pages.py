"""What the pages say, and that they are the same to the byte each time."""

from __future__ import annotations

import os
import re
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import pytest

from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.publish.sheet import ReleaseMark
from stepwell.publish.shelf import OldCard, Shelf, ShelfCard
from stepwell.render.site.build import SiteResult, build_site
from stepwell.render.site.verdict_words import tell
from stepwell.report.results import Status
from tests.site.unit import AIR, AS_OF, PRIME, PRIME_VERDICTS, REPORT, RULES, WORKSPACE

Site = tuple[Path, SiteResult]


class _Reader(HTMLParser):
    """The visible text, the tags and attributes, and where links lead."""

    def __init__(self) -> None:
        super().__init__()
        self.text: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def read(site: Site, path: str) -> tuple[str, list[tuple[str, dict[str, str | None]]]]:
    reader = _Reader()
    reader.feed((site[0] / path).read_text(encoding="utf-8"))
    return re.sub(r"\s+", " ", " ".join(reader.text)), reader.tags


def test_there_is_a_page_for_everything(site: Site) -> None:
    pages = set(site[1].pages)
    assert {"index.html", "rules.html", "about.html"} < pages
    for procedure in WORKSPACE.procedures:
        assert {f"en/{procedure.id}.html", f"check/{procedure.id}.html"} < pages
    for rule in RULES:
        assert f"rules/{rule.name}.html" in pages
    assert pages == {str(p.relative_to(site[0])) for p in site[0].rglob("*.html")}
    assert site[1].findings == ()


def test_status_date_and_notice_stand_on_each_page(site: Site) -> None:
    for path in site[1].pages:
        text, _ = read(site, path)
        assert "DRAFT - NOT FOR USE" in text, path
        assert "Copy of 2026-11-24" in text, path
        assert "Not a medical device." in text, path
        assert "An invented unit, for trying out." in text, path


def test_every_link_leads_somewhere(site: Site) -> None:
    for path in site[1].pages:
        folder = (site[0] / path).parent
        for tag, attrs in read(site, path)[1]:
            target = attrs.get("href") or attrs.get("src")
            if target is None or target.startswith("data:"):
                continue
            assert not re.match(r"[a-z]+:|//", target), (path, target)
            file, _, anchor = target.partition("#")
            full = (folder / file).resolve() if file else site[0] / path
            assert full.is_file(), (path, tag, target)
            if anchor:
                assert f'id="{anchor}"' in full.read_text(encoding="utf-8"), (path, target)


def test_nothing_inline_runs_or_styles(site: Site) -> None:
    for path in site[1].pages:
        if "/one-file/" in path:  # its style stands in the file, under a policy of its own
            continue
        _, tags = read(site, path)
        policy = [a["content"] or "" for t, a in tags if a.get("http-equiv") == "Content-Security-Policy"]
        assert len(policy) == 1
        assert policy[0].startswith("default-src 'none'")
        assert "unsafe" not in policy[0]
        for tag, attrs in tags:
            assert tag != "style"
            assert "style" not in attrs
            assert not [name for name in attrs if name.startswith("on")], path
            assert tag != "script" or attrs.get("src"), path
            assert tag != "img" or re.fullmatch(r"drawn/[a-z]+\.svg", attrs["src"] or ""), path


def test_what_an_author_wrote_stays_text(site: Site) -> None:
    raw = (site[0] / "en/prime-adult.html").read_text(encoding="utf-8")
    assert "&lt;script&gt;document.title" in raw
    text, tags = read(site, "en/prime-adult.html")
    assert "[x](javascript:alert(1))" in text
    assert not [a for _, a in tags if "javascript:" in (a.get("href") or "")]
    index = (site[0] / "assets/find.js").read_text(encoding="utf-8")
    assert index.isascii() or "\u2028" not in index


def test_a_card_says_all_that_its_sheet_says(site: Site) -> None:
    text, _ = read(site, "en/prime-adult.html")
    for said in (
        "Use when: A dry set stands ready",
        "Do not use when: The package was open or wet.",
        "WARNING",
        "The pressure is read too low, and suction is missed.",
        "If not: Change the cable and zero again.",
        "Because: A sensor zeroed on a full line reads wrong",
        "2700 to 2900 rpm",
        "If late: Stop the pump and begin again.",
        "at most 3 times",
        "Hold: The set is full",
        "Leave the set clamped and take another.",
        "in any order",
        "side by side, at the same time",
        "The set is full and free of air.",
        "Adult bedside set 1.0.0, inspected 2026-10-01",
    ):
        assert said in text.replace("\u00a0", " "), said
    circuit, _ = read(site, "en/prime-adult/circuit.html")
    assert "After step 1" in circuit
    assert "The pump head fills." in circuit
    assert "No unsafe order" not in text, "a verdict is never on the card"


def test_an_emergency_begins_with_its_immediate_actions(site: Site) -> None:
    text, _ = read(site, "en/air-in-return.html")
    assert text.index("Immediate actions") < text.index("return clamp") < text.index("People")


def test_home_has_emergencies_before_procedures(site: Site) -> None:
    text, _ = read(site, "index.html")
    assert text.index("Find a procedure") < text.index("Air in the return line") < text.index("Prime the adult set")
    assert "draft, 1 rule broken, 1 undecided" in text
    assert "order not checked" in text


def test_verdicts_claim_no_more_than_a_search_shows(site: Site) -> None:
    bad, _ = read(site, "check/prime-adult.html")
    assert "Unsafe orders were found: 1 rule is broken." in bad
    assert bad.index("The trap is set here") < bad.index("The harm is met here") < bad.index("The circuit at that moment")
    assert "This is not a sign of safety." in bad
    assert "What would break it (step 9): Leaving out this step would let air reach the patient." in bad
    good, _ = read(site, "check/air-in-return.html")
    assert "No unsafe order found in the model (complete search of 1 order)." in good
    unchecked, _ = read(site, "check/shift-check.html")
    assert "was not checked" in unchecked
    for path in site[1].pages:
        assert not re.search(r"proved|proven|guarantee", read(site, path)[0], re.I), path


def test_a_rule_says_what_it_does_not_check(site: Site) -> None:
    text, _ = read(site, "rules/air-reaches-the-patient.html")
    for said in ("Harm", "Usual control", "What it does not check", "(physics)", "can’t be waived", "SW102", "Fatal"):
        assert said in text, said


def released(tmp_path: Path, card: ShelfCard, *, trouble: bool = False) -> Site:
    shelf = Shelf(cards=(card,), trouble=trouble)
    return tmp_path, build_site(WORKSPACE, REPORT, as_of=AS_OF, out=tmp_path, shelf=shelf)


MARK = ReleaseMark(approved=date(2026, 11, 1), effective=date(2026, 11, 2))


def test_a_release_takes_the_draft_mark_away(tmp_path: Path) -> None:
    site = released(tmp_path, ShelfCard(procedure=AIR.id, version="1.2.0", code="0123456789ab", mark=MARK))
    assert "DRAFT" not in read(site, "en/air-in-return.html")[0]
    assert "DRAFT" in read(site, "en/prime-adult.html")[0]
    about = (tmp_path / "about.html").read_text(encoding="utf-8")
    assert about.count("data-released=") == 1


def test_a_page_that_is_not_the_card_in_force_says_which_is(tmp_path: Path) -> None:
    site = released(tmp_path, ShelfCard(procedure=AIR.id, version="0.9.0", code="0123456789ab"))
    said = read(site, "en/air-in-return.html")[0]
    assert "DRAFT" in said
    assert "The card in force is version 0.9.0" in said


def test_a_withdrawn_card_says_so_on_its_page_and_in_the_lists(tmp_path: Path) -> None:
    old = OldCard(version="0.9.0", code="0123456789ab", state="withdrawn")
    site = released(tmp_path, ShelfCard(procedure=AIR.id, old=(old,), withdrawn="wrong clamp"))
    for path in ("en/air-in-return.html", "index.html", "about.html"):
        assert "ithdrawn. Take every copy down" in read(site, path)[0], path


def test_what_is_found_besides_the_rules_is_never_called_clean() -> None:
    """An end that is not reached breaks no rule; the headline may not say that nothing was found."""
    good = next(report for report in REPORT.procedures if report.checked)
    holds = tuple(verdict for verdict in good.verdicts if verdict.status in (Status.HOLDS, Status.NOT_APPLICABLE))
    missed = Finding(rule="ends-not-reached", code="SW204", severity=Severity.SERIOUS, message="The end is not reached.")
    told = tell(replace(good, verdicts=holds, findings=(missed,)), {})
    assert told.bad
    assert "No unsafe order found" not in told.headline
    assert "1 other fault must be mended" in told.headline
    assert not tell(replace(good, verdicts=holds, findings=(replace(missed, waived="the lead"),)), {}).bad
    assert not tell(replace(good, verdicts=holds, findings=(replace(missed, severity=Severity.MINOR),)), {}).bad


def test_a_rebuild_is_the_same_to_the_byte(site: Site, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1")
    build_site(WORKSPACE, REPORT, as_of=AS_OF, out=tmp_path)
    assert os.environ["SOURCE_DATE_EPOCH"] == "1"
    first = {str(p.relative_to(site[0])): p.read_bytes() for p in site[0].rglob("*") if p.is_file()}
    second = {str(p.relative_to(tmp_path)): p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()}
    assert first == second


def test_a_page_weighs_at_most_60_kb_with_its_font(site: Site) -> None:
    for path in site[1].pages:
        page = (site[0] / path).read_text(encoding="utf-8")
        loads = re.findall(r'(?<!-)(?:src|stylesheet" href)="(?:\.\./)*(assets/[^"]+)"', page)
        assert len(loads) == (0 if "/one-file/" in path else 2), path
        shared = sum((site[0] / name).stat().st_size for name in (*loads, "assets/text.woff2") if loads)
        assert shared + len(page.encode()) <= 60 * 1024, path


def test_a_page_that_is_too_heavy_is_a_finding(tmp_path: Path) -> None:
    long = replace(PRIME, cautions=PRIME.cautions * 400)
    result = build_site(replace(WORKSPACE, procedures=(long,)), REPORT, as_of=AS_OF, out=tmp_path)
    assert [finding.rule for finding in result.findings] == ["page-too-heavy"]
    assert "en/prime-adult.html" in result.findings[0].message


def test_an_odd_name_stays_inside_the_folder(tmp_path: Path) -> None:
    odd = replace(PRIME, id="../../escape")
    verdicts = tuple(replace(verdict, procedure=odd.id) for verdict in PRIME_VERDICTS)
    report = replace(REPORT, procedures=(replace(REPORT.procedures[0], procedure=odd.id, verdicts=verdicts),))
    result = build_site(replace(WORKSPACE, procedures=(odd,)), report, as_of=AS_OF, out=tmp_path / "out")
    assert "en/escape.html" in result.pages
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_a_relative_folder_is_where_the_tool_was_started(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "here").mkdir()
    build_site(WORKSPACE, REPORT, as_of=AS_OF, out=Path("here"))
    assert (tmp_path / "here" / "index.html").is_file()
