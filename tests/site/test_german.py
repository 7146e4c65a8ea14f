"""The site in German: its pages, what they lead to, and that nothing on them is taken for translated that is not."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from stepwell.model.language import MARK
from stepwell.publish.sheet import lines_of, spoken
from stepwell.render.site.build import build_site
from stepwell.report.results import CheckReport
from stepwell.source.read_fixed_words import fixed_words
from tests import demo
from tests.cards.test_german import sheet_of
from tests.publish.bench import AS_OF

NAMES = ("air-in-circuit", "connect-va")
OWN = "A rule of this unit is broken"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo's site with two procedures and a rule of the unit's own; one German entry is taken away."""
    space = demo.workspace()
    entries = tuple(one for one in space.translations[0].texts if one.english != "Part the loop")
    space = replace(
        space,
        procedures=tuple(one for one in space.procedures if one.id in NAMES),
        rules=(*space.rules, replace(space.rules[0], name="own-rule", code="N01", title=OWN, harm="Something is lost.")),
        translations=(replace(space.translations[0], texts=entries),),
    )
    out = tmp_path_factory.mktemp("site") / "out"
    build_site(space, CheckReport(as_of=AS_OF, procedures=(), findings=()), as_of=AS_OF, out=out)
    return out


def text_of(path: Path) -> str:
    html = re.sub(r"<(script|style|svg)\b.*?</\1>", " ", path.read_text(encoding="utf-8"), flags=re.S)
    return " ".join(re.sub(r"<[^>]+>", " ", html).replace("&#39;", "'").split())


def squeezed(text: str) -> str:
    return re.sub(r"\s", "", text)


def test_a_page_in_german_says_every_step_of_the_german_card(folder: Path) -> None:
    text, at = squeezed(text_of(folder / "de" / "air-in-circuit.html")), 0
    for line in lines_of(sheet_of("air-in-circuit").items):
        found = text.find(squeezed(spoken(line.text)), at)
        assert found >= 0, line.id
        at = found + 1
        for expected in line.expect:
            assert squeezed(spoken(expected.value)) in text[at:]


def test_every_page_in_german_is_marked_as_german_and_leads_to_english_and_back(folder: Path) -> None:
    for name in ("index", *NAMES):
        german = (folder / "de" / f"{name}.html").read_text(encoding="utf-8")
        english = folder / ("index.html" if name == "index" else f"en/{name}.html")
        assert '<html lang="de"' in german
        assert f'hreflang="en" lang="en"><span class="long">{fixed_words("en").say("name", "English")}</span>' in german
        assert 'hreflang="de" lang="de"><span class="long">Deutsch</span>' in english.read_text(encoding="utf-8")
    for page in folder.rglob("*.html"):
        for href in re.findall(r'(?:href|src|data-src)="([^"#:]+)["#]', page.read_text(encoding="utf-8")):
            target = (page.parent / href).resolve()
            assert target.is_file() or target.with_suffix(".js").is_file(), (page.name, href)


def test_no_fixed_word_of_english_is_left_on_a_translated_page(folder: Path) -> None:
    text = text_of(folder / "de" / "air-in-circuit.html")
    same = {english for (_, english), said in fixed_words("de").words.items() if english == said}
    words = {english for where, english in fixed_words("de").words if where == "site" and "{" not in english} - same
    words -= {said for (where, _), said in fixed_words("de").words.items() if where == "site"}
    shown = [word for word in words if len(word) > 3 and re.search(rf"(?<!\w){re.escape(word)}(?!\w)", text)]
    assert shown == []
    assert MARK.strip() not in text


def test_a_line_that_is_not_translated_is_marked_and_told_in_the_box(folder: Path) -> None:
    html = (folder / "de" / "connect-va.html").read_text(encoding="utf-8")
    assert '<p class="in-english">1 Zeile ist nicht übersetzt oder nicht bestätigt; sie steht auf Englisch.</p>' in html
    assert f"{MARK}Part the loop" in html
    assert "in-english" not in (folder / "de" / "air-in-circuit.html").read_text(encoding="utf-8")


def test_a_rule_of_the_tool_is_told_in_german_and_one_of_the_unit_in_marked_english(folder: Path) -> None:
    title = "Die Entlüftung bleibt am Ende oder bei der Übergabe offen"
    pages = folder / "de" / "pages"
    rules, known, own = (
        (pages / name).read_text(encoding="utf-8")
        for name in ("rules.html", "rules/vent-left-open.html", "rules/own-rule.html")
    )
    assert f"<b>{title}</b>" in rules
    assert f'<b lang="en">{OWN}</b>' in rules
    assert "in-english-note" in rules
    assert f"<h1>{title}</h1>" in known
    assert "<p>Die Entlüftung schließen, nachdem die Luft draußen ist, und eine zweite Person es sehen lassen.</p>" in known
    assert '<ul lang="en">' in known, "a source stays as it was published"
    assert f'<h1 lang="en">{OWN}</h1>' in own
    assert '<p lang="en">Something is lost.</p>' in own
    for page in (rules, known):
        assert "Niemand vom Fach, der Deutsch spricht, hat ihn bisher gelesen." in page
    assert "hat ihn bisher gelesen" not in own
    assert "hat ihn bisher gelesen" not in (folder / "rules.html").read_text(encoding="utf-8")
    index = (folder / "assets" / "find-de.js").read_text(encoding="utf-8")
    assert '"title":"[EN] ' + OWN + '","id":"n01","kind":"Rule","rank":0.04' in index


def test_the_one_file_card_and_the_search_are_in_german(folder: Path) -> None:
    text = text_of(folder / "de" / "one-file" / "air-in-circuit.html")
    assert "Veraltet nach" in text
    assert "Rückgabekanülen-Klemme schließen." in text
    index = (folder / "assets" / "find-de.js").read_text(encoding="utf-8")
    assert '"href":"de/air-in-circuit.html"' in index
    assert not [href for href in re.findall(r'"href":"([^"]+)"', index) if not href.startswith("de/")]


def test_a_unit_in_english_alone_has_no_page_in_another_language(tmp_path: Path) -> None:
    space = demo.workspace()
    space = replace(
        space,
        procedures=tuple(one for one in space.procedures if one.id == "air-in-circuit"),
        unit=replace(space.unit, languages=("en",)),
    )
    out = tmp_path / "out"
    build_site(space, CheckReport(as_of=AS_OF, procedures=(), findings=()), as_of=AS_OF, out=out)
    assert not (out / "de").exists()
    assert "hreflang" not in (out / "index.html").read_text(encoding="utf-8")
