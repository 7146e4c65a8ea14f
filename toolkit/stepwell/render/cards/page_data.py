"""What a card needs besides its sheet: sizes, furniture of the page, the code."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from stepwell.model.language import Language
from stepwell.publish.canonical import Plain
from stepwell.publish.sheet import Sheet
from stepwell.render.cards.code import code_svg, code_text
from stepwell.render.cards.paper import A4, Paper
from stepwell.render.cards.sizes import Sizes
from stepwell.render.cards.template_words import TEMPLATE_WORDS
from stepwell.source.read_fixed_words import fixed_words

DRAFT_WORDS = "DRAFT - NOT FOR USE"
SORT_WORDS = {"emergency": "EMERGENCY CARD", "routine": "PROCEDURE", "check": "CHECK"}
FOOT_LINE_MM = 4.1
PAGE_MM = A4.height
"""Of a card over several pages, which is always A4."""
TOP_MM = 16.0
WIDTH_MM = 178.0
"""Between the left and the right margin."""


def foot_lines(sheet: Sheet, as_of: date) -> tuple[str, ...]:
    """The footer: the first line stands beside the page number."""
    language = fixed_words(sheet.language)

    def say(english: str, **slots: str) -> str:
        return language.say("card", english, **slots)

    copy = say("Copy of {day}.", day=language.day(as_of))
    if sheet.release is None:
        dates = f"{say('Not released.')} {copy}"
    else:
        release = sheet.release
        review = " " + say("Review by {day}.", day=language.day(release.review)) if release.review else ""
        dates = f"{say('Effective {day}.', day=language.day(release.effective))}{review} {copy}"
    code = say("Code {code}. Paper may be out of date: compare the code.", code=sheet.short_hash)
    return (
        f"{sheet.title}, {sheet.id} {sheet.version}",
        f"{sheet.unit}. {dates} {code}",
        say("For {rig}.", rig=sheet.rig.sentence_in(language)),
        *sheet.notice,
    )


def foot_height_mm(sheet: Sheet, as_of: date, paper: Paper = A4) -> float:
    """The bottom margin that the footer needs."""
    first, *rest = foot_lines(sheet, as_of)
    rows = sum(1 + count // paper.foot_characters for count in (len(first) + paper.page_number, len(" ".join(rest))))
    return round(8.5 + rows * FOOT_LINE_MM, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Breaks:
    """How a card is parted into pages: ``ends`` by top-level item, pages that end inside a block (``unstopped``), and
    steps and holds that are longer than a page (``loose``). ``tall``: not into pages at all, to see how high all is."""

    ends: Plain = None
    unstopped: tuple[int, ...] = ()
    loose: frozenset[str] = frozenset()
    tall: bool = False


def page_data(
    sheet: Sheet, as_of: date, sizes: Sizes, breaks: Breaks, start: Plain = None, paper: Paper = A4
) -> dict[str, Plain]:
    """The template's second input, as plain data. ``start`` is what it needs of the circuit before the first line."""
    title = f"{sheet.title} ({sheet.id} {sheet.version})"
    day = sheet.release.approved if sheet.release else as_of
    code = code_text(sheet)
    language = fixed_words(sheet.language)

    def say(english: str, **slots: str) -> str:
        return language.say("card", english, **slots)

    return {
        "main": f"{sizes.main}",
        "detail": f"{sizes.detail}",
        "title_size": str(_title_size(sheet, sizes, paper)),
        "paper": paper.name,
        "left": f"{paper.left}",
        "right": f"{paper.right}",
        "draft_scale": f"{paper.height / A4.height}",
        "emergency": sheet.kind == "emergency",
        "roles": [role.id for role in sheet.people],
        "sort_words": say(SORT_WORDS.get(sheet.kind, sheet.kind.upper())),
        "head": sheet.use,
        "draft_words": say(DRAFT_WORDS),
        "words": {english: say(english) for english in TEMPLATE_WORDS},
        "in_english": untranslated_line(sheet.in_english, language),
        "fewest": say("One person can do it.")
        if sheet.fewest_people == 1
        else say("Needs {count} people.", count=str(sheet.fewest_people)),
        "foot": list(foot_lines(sheet, as_of)),
        "foot_height": f"{foot_height_mm(sheet, as_of, paper)}",
        "start": start,
        "ends": breaks.ends or {},
        "unstopped": [*breaks.unstopped],
        "tall": breaks.tall,
        "loose": [*sorted(breaks.loose)],
        "title": title,
        "subject": f"{title}. {sheet.status.sentence_in(language)} {say('Code {code}.', code=sheet.short_hash)}"
        f" {' '.join(sheet.notice)}",
        "keywords": [sheet.kind, sheet.id, sheet.version, sheet.hash],
        "date": [day.year, day.month, day.day],
        "qr": code_svg(code),
        "qr_alt": say("Square code: {code}", code=code),
    }


def untranslated_line(count: int, language: Language) -> str:
    """What the face of a sheet says of lines that stand in English; empty if there are none."""
    if not count:
        return ""
    if count == 1:
        return language.say("card", "1 line is not translated or not confirmed; it stands in English.")
    told = "{count} lines are not translated or not confirmed; they stand in English."
    return language.say("card", told, count=str(count))


def _title_size(sheet: Sheet, sizes: Sizes, paper: Paper) -> float:
    wide = paper.title * (28.0 if sheet.kind == "emergency" else 26.0)
    return round(max(sizes.main * 1.3, wide if len(sheet.title) <= 34 else wide * 0.8), 1)
