"""What a card needs besides its sheet: sizes, furniture of the page, the code."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from stepwell.publish.canonical import Plain
from stepwell.publish.sheet import Sheet
from stepwell.render.cards.code import code_svg, code_text
from stepwell.render.cards.sizes import Sizes

DRAFT_WORDS = "DRAFT - NOT FOR USE"
SORT_WORDS = {"emergency": "EMERGENCY CARD", "routine": "PROCEDURE", "check": "CHECK"}
FOOT_CHARACTERS = 106
"""About how many characters of the footer's 10 point type fit on one line."""
FOOT_LINE_MM = 4.1
PAGE_MM = 297.0


def foot_lines(sheet: Sheet, as_of: date) -> tuple[str, ...]:
    """The footer: the first line stands beside the page number."""
    if sheet.release is None:
        dates = f"Not released. Copy of {as_of.isoformat()}."
    else:
        review = f" Review by {sheet.release.review.isoformat()}." if sheet.release.review else ""
        dates = f"Effective {sheet.release.effective.isoformat()}.{review} Copy of {as_of.isoformat()}."
    return (
        f"{sheet.title}, {sheet.id} {sheet.version}",
        f"{sheet.unit}. {dates} Code {sheet.short_hash}. Paper may be out of date: compare the code.",
        f"For {sheet.rig.sentence}.",
        *sheet.notice,
    )


def foot_height_mm(sheet: Sheet, as_of: date) -> float:
    """The bottom margin that the footer needs."""
    first, *rest = foot_lines(sheet, as_of)
    rows = sum(1 + len(text) // FOOT_CHARACTERS for text in (first, " ".join(rest)))
    return round(8.5 + rows * FOOT_LINE_MM, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Breaks:
    """How a card is parted into pages: ``ends`` by top-level item, pages that end inside a block (``unstopped``), and
    steps and holds that are longer than a page (``loose``)."""

    ends: Plain = None
    unstopped: tuple[int, ...] = ()
    loose: frozenset[str] = frozenset()


def page_data(sheet: Sheet, as_of: date, sizes: Sizes, breaks: Breaks) -> dict[str, Plain]:
    """The template's second input, as plain data."""
    title = f"{sheet.title} ({sheet.id} {sheet.version})"
    day = sheet.release.approved if sheet.release else as_of
    code = code_text(sheet)
    return {
        "main": f"{sizes.main}",
        "detail": f"{sizes.detail}",
        "title_size": str(_title_size(sheet, sizes)),
        "emergency": sheet.kind == "emergency",
        "roles": [role.id for role in sheet.people],
        "sort_words": SORT_WORDS.get(sheet.kind, sheet.kind.upper()),
        "head": sheet.use,
        "draft_words": DRAFT_WORDS,
        "fewest": "One person can do it." if sheet.fewest_people == 1 else f"Needs {sheet.fewest_people} people.",
        "foot": list(foot_lines(sheet, as_of)),
        "foot_height": f"{foot_height_mm(sheet, as_of)}",
        "ends": breaks.ends or {},
        "unstopped": [*breaks.unstopped],
        "loose": [*sorted(breaks.loose)],
        "title": title,
        "subject": f"{title}. {sheet.status.sentence} Code {sheet.short_hash}. {' '.join(sheet.notice)}",
        "keywords": [sheet.kind, sheet.id, sheet.version, sheet.hash],
        "date": [day.year, day.month, day.day],
        "qr": code_svg(code),
        "qr_alt": f"Square code: {code}",
    }


def _title_size(sheet: Sheet, sizes: Sizes) -> float:
    wide = 28.0 if sheet.kind == "emergency" else 26.0
    return round(max(sizes.main * 1.3, wide if len(sheet.title) <= 34 else wide * 0.8), 1)
