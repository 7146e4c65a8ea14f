"""stepwell cards, site and build: what is written, what is never overwritten, and nothing by halves."""

from __future__ import annotations

import filecmp
from pathlib import Path
from typing import Any

import pytest

from stepwell.cli.place import MARKER
from stepwell.cli.produce import SORTS
from stepwell.model.procedure import Procedure
from stepwell.model.workspace import Workspace
from stepwell.slips import find
from stepwell.slips.results import SlipReport
from tests.cli.conftest import Call, Layouts
from tests.text import examples


def files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_build_writes_cards_site_and_report(call: Call, good: Path, layouts: Layouts) -> None:
    result = call("build", good)
    assert (result.code, result.err) == (0, "")
    assert {name for name in files(Path("out")) if MARKER not in name} == {
        "cards/right.pdf",
        *(f"sheets/{sort}/one.pdf" for sort in SORTS),
        "site/index.html",
        "report.txt",
    }
    assert "Wrote 1 card and 5 sheets and the site and the report to out." in result.out
    assert "right: Zero, then fill" in Path("out/report.txt").read_text(encoding="utf-8")
    assert [day.isoformat() for day in layouts.dates] == ["2026-11-25"]


def test_cards_and_site_alone_can_follow_a_build(call: Call, good: Path, layouts: Layouts) -> None:
    assert layouts.findings == ()
    assert call("build", good).code == 0
    assert call("cards", good, "--as-of", "2027-02-03").code == 0
    assert call("site", good, "--as-of", "2027-02-03").code == 0
    assert Path("out/cards/right.pdf").read_bytes() == b"%PDF right 2027-02-03"
    assert "2027-02-03" in Path("out/site/index.html").read_text()


def test_a_site_is_told_of_slips_unless_that_is_not_wanted(call: Call, good: Path, layouts: Layouts) -> None:
    assert call("site", good).code == 0
    assert call("site", good, "--no-slips").code == 0
    assert layouts.tried == [("right",), None]


def test_slips_are_tried_once_for_sheets_and_site(
    call: Call, good: Path, layouts: Layouts, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []
    really = find.slips_of

    def counted(workspace: Workspace, procedure: Procedure, **how: Any) -> SlipReport | None:
        asked.append(procedure.id)
        return really(workspace, procedure, **how)

    monkeypatch.setattr(find, "slips_of", counted)
    assert call("build", good, "--no-cache").code == 0
    assert asked == ["right"]
    assert layouts.tried == [("right",)]


@pytest.mark.usefixtures("layouts")
def test_the_same_day_gives_the_same_bytes(call: Call, bad: Path) -> None:
    for out in ("one", "two"):
        call("build", bad, "--out", out, "--as-of", "2026-11-25")
    assert files(Path("one")) == files(Path("two"))
    assert not filecmp.dircmp("one", "two").diff_files


@pytest.mark.usefixtures("layouts")
def test_a_violated_unit_is_built_as_a_draft_and_answered_for(call: Call, bad: Path) -> None:
    result = call("build", bad)
    assert result.code == 1
    assert Path("out/cards/wrong.pdf").is_file()
    assert "The line sensor is zeroed" in " ".join(result.out.split())


def test_a_fault_of_a_page_counts(call: Call, good: Path, layouts: Layouts) -> None:
    layouts.findings = (examples.FATAL,)
    result = call("cards", good)
    assert result.code == 1
    assert "SW111" in result.out
    assert call("build", good).code == 1
    assert "SW111" in Path("out/report.txt").read_text(encoding="utf-8")


@pytest.mark.usefixtures("layouts")
def test_unreadable_input_writes_nothing_and_keeps_the_old(call: Call, good: Path) -> None:
    assert call("build", good).code == 0
    before = files(Path("out"))
    (good / "procedures/second.yaml").write_text("procedure: [")
    result = call("build", good)
    assert result.code == 2
    assert "Nothing was written to out" in result.out
    assert files(Path("out")) == before


def test_a_failure_half_way_keeps_the_old(call: Call, good: Path, layouts: Layouts) -> None:
    assert call("build", good).code == 0
    before = files(Path("out"))
    layouts.fail = RuntimeError("no ink")
    assert call("build", good).code == 70
    assert files(Path("out")) == before
    layouts.fail = PermissionError(13, "Permission denied")
    result = call("build", good)
    assert result.code == 2
    assert "out could not be written: Permission denied" in result.err
    assert files(Path("out")) == before
    layouts.fail = FileNotFoundError(2, "No such file or directory", "/somewhere/font.ttf")
    assert call("build", good).code == 70, "a file that the tool lacks is the tool's fault"
    assert files(Path("out")) == before
    assert sorted(path.name for path in Path().iterdir()) == ["good", "out"]


@pytest.mark.usefixtures("layouts")
def test_what_is_stale_goes(call: Call, bad: Path) -> None:
    call("build", bad)
    (bad / "procedures/wrong.yaml").unlink()
    assert call("build", bad).code == 0
    assert not Path("out/cards/wrong.pdf").exists()


@pytest.mark.usefixtures("layouts")
def test_a_folder_of_somebody_else_is_never_replaced(call: Call, good: Path) -> None:
    Path("papers").mkdir()
    Path("papers/thesis.txt").write_text("years of work")
    result = call("build", good, "--out", "papers")
    assert result.code == 2
    assert "did not make" in result.err
    assert files(Path("papers")) == {"thesis.txt": b"years of work"}
    Path("empty").mkdir()
    assert call("build", good, "--out", "empty").code == 0


@pytest.mark.usefixtures("layouts")
@pytest.mark.parametrize("out", [".", "good", "good/procedures", "good/rigs/deep", "..", "file"])
def test_the_unit_itself_is_never_replaced(call: Call, good: Path, out: str) -> None:
    Path("file").write_text("a file")
    before = files(good)
    assert call("build", good, "--out", out).code == 2
    assert files(good) == before
    assert Path("file").read_text() == "a file"


@pytest.mark.usefixtures("layouts")
def test_inside_the_unit_the_default_works(call: Call, good: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(good)
    assert call("build").code == 0
    assert call("cards").code == 0
    assert call("check").code == 0


@pytest.mark.parametrize("verb", ["cards", "site", "build"])
def test_a_part_of_a_unit_is_not_built(call: Call, good: Path, verb: str) -> None:
    result = call(verb, good / "procedures/right.yaml")
    assert result.code == 2
    assert "only a part" in result.err


@pytest.mark.usefixtures("layouts")
def test_cards_also_make_the_sheets_that_are_asked_for(call: Call, good: Path) -> None:
    assert call("cards", good).code == 0
    assert not list(Path("out/cards").glob("*/*.pdf"))
    result = call("cards", good, "--also", "labels, kit")
    assert (result.code, result.err) == (0, "")
    assert "Wrote 1 card and 2 sheets to out/cards." in result.out
    assert {path.parent.name for path in Path("out/cards").glob("*/*.pdf")} == {"kit", "labels"}
    assert call("cards", good, "--also", "all").code == 0
    assert {path.parent.name for path in Path("out/cards").glob("*/*.pdf")} == set(SORTS)


@pytest.mark.usefixtures("layouts")
def test_sheets_are_made_in_the_units_other_languages_and_tell_what_stands_in_english(call: Call, good: Path) -> None:
    result = call("cards", good, "--also", "kit,labels", "--language", "de")
    assert "Wrote 1 card in the language de and 2 sheets in the language de to out/cards-de." in result.out
    assert {path.parent.name for path in Path("out/cards-de").glob("*/*.pdf")} == {"kit", "labels"}
    said = " ".join((result.out + result.err).split())
    assert "labels/one.pdf (de): 2 lines stand in English, and the sheet says so." in said
    unit = good / "unit.yaml"
    unit.write_text(unit.read_text(encoding="utf-8").replace("languages: [en]", "languages: [en, de]"), encoding="utf-8")
    call("build", good)
    made = {path.relative_to("out/sheets").as_posix() for path in Path("out/sheets").rglob("*.pdf")}
    english = {name for name in made if not name.startswith("de/")}
    assert english
    assert made == english | {f"de/{name}" for name in english}


@pytest.mark.parametrize("words", ["posters", "kit,posters", ","])
def test_a_sort_of_sheet_that_does_not_exist_is_said(call: Call, good: Path, words: str) -> None:
    result = call("cards", good, "--also", words)
    assert result.code == 2
    assert "is none of kit, trainer, inspection, index, labels, all" in " ".join(result.err.split())
    assert not Path("out").exists()
