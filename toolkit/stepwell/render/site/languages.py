"""The site in other languages: where their pages stand, what their scripts say, and how one language leads to the other."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable

from stepwell.model.language import Language
from stepwell.source.read_fixed_words import fixed_words

SCRIPT_WORDS = (
    "this device’s clock is wrong",
    "1 day old",
    "days old",
    "Search could not be loaded. Use the lists below.",
    "Type one more letter.",
    "Nothing found. Try another word, or the lists below.",
    "found",
    "Emergency",
    "Procedure",
    "Check",
)
"""What the scripts of a page say; they look it up by its English."""


def home_of(code: str) -> str:
    """The first page in a language, from the top of the site."""
    return "index.html" if code == "en" else f"{code}/index.html"


def find_of(code: str) -> str:
    """The script of the search in a language."""
    return "find.js" if code == "en" else f"find-{code}.js"


def script_words(language: Language) -> str:
    """The scripts' words as JSON; nothing in English."""
    if language.english:
        return ""
    return json.dumps({words: language.say("site", words) for words in SCRIPT_WORDS}, ensure_ascii=False)


def other_pages(path: str, code: str, codes: Iterable[str]) -> list[dict[str, str]]:
    """The same page in the other languages: first pages and procedures are in all of them."""
    there = re.fullmatch(rf"{re.escape(code)}/(?P<page>[a-z0-9-]+\.html)", path)
    found = []
    for other in codes:
        if other == code:
            continue
        if path == home_of(code):
            href = home_of(other)
        elif there is not None and there["page"] != "index.html":
            href = f"{other}/{there['page']}"
        else:
            continue
        found.append({"code": other, "href": href, "name": fixed_words(other).say("name", "English")})
    return found
