"""The site in other languages: where their pages stand, what their scripts say, and how one language leads to the other."""

from __future__ import annotations

import json
from collections.abc import Iterable

from stepwell.model.language import Language
from stepwell.source.read_fixed_words import fixed_words

AGE_WORDS = ("this device’s clock is wrong", "1 day old", "days old")
SEARCH_WORDS = (
    "Search could not be loaded. Use the lists below.",
    "Type one more letter.",
    "Nothing found. Try another word, or the lists below.",
    "found",
    "Emergency",
    "Procedure",
    "Check",
    "Rule",
    "Sum",
)
"""What the scripts of a page say; they look it up by its English."""


def home_of(code: str) -> str:
    """The first page in a language, from the top of the site."""
    return "index.html" if code == "en" else f"{code}/index.html"


def folder_of(code: str) -> str:
    """The folder of the pages about the unit in a language, from the top of the site: empty, or with a slash at its end.

    It is a folder inside that of the language, so that no procedure's page can have the same name.
    """
    return "" if code == "en" else f"{code}/pages/"


def find_of(code: str) -> str:
    """The script of the search in a language."""
    return "find.js" if code == "en" else f"find-{code}.js"


def script_words(language: Language, besides: Iterable[str] = (), *, search: bool = True) -> str:
    """The scripts' words as JSON, with those that one page needs ``besides``; nothing in English.

    Without ``search`` they are those of the age of the copy alone.
    """
    if language.english:
        return ""
    said = {words: language.say("site", words) for words in (*AGE_WORDS, *(SEARCH_WORDS if search else ()))}
    said |= {words: language.say("sum" if language.knows("sum", words) else "site", words) for words in besides}
    return json.dumps(said, ensure_ascii=False)


def other_pages(path: str, code: str, codes: Iterable[str]) -> list[dict[str, str]]:
    """The same page in the other languages."""
    return [
        {"code": other, "href": same_page(path, code, other), "name": fixed_words(other).say("name", "English")}
        for other in codes
        if other != code
    ]


def same_page(path: str, code: str, other: str) -> str:
    """Where the page that stands at ``path`` in one language stands in another."""
    if path == home_of(code):
        return home_of(other)
    folder = folder_of(code)
    if folder and path.startswith(folder):
        return folder_of(other) + path.removeprefix(folder)
    if path.startswith(f"{code}/"):
        return f"{other}/" + path.removeprefix(f"{code}/")
    return folder_of(other) + path
