"""The pages of the sums: one with the list, and one for each sum."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import partial

from stepwell.model.language import Language
from stepwell.quantities.sum_table import sums
from stepwell.quantities.sums import Sum
from stepwell.render.site.bundles import SUMS
from stepwell.render.site.page import Page


def sum_pages(language: Language) -> Iterator[Page]:
    """Every page, by its path from the folder of the language."""
    yield "sums.html", "sums.html", {"title": language.say("site", "Sums about equipment")}, {"sums": sums()}
    for one in sums():
        page: dict[str, object] = {
            "title": language.say("sum", one.formula.title),
            "bundle": SUMS,
            "script_words": () if language.english else said_by(one),
        }
        yield f"sums/{one.formula.name}.html", "sum.html", page, {"sum": one, "choice": partial(choice_words, language)}


def choice_words(language: Language, label: str) -> str:
    """An entry of a list in a language. What is made from figures is not in its catalogue: the figures are written as the
    language does (a comma between thousands would be taken for a decimal sign), and the mark of its source is translated."""
    if language.english or language.knows("sum", label):
        return language.say("sum", label)
    told = language.number(re.sub(r"(?<=\d),(?=\d{3}\b)", "\u00a0", label))
    return re.sub(r"\((physics|seen|from memory|common practice)\)", lambda met: f"({language.say('sum', met[1])})", told)


def said_by(one: Sum) -> tuple[str, ...]:
    """The sentences that the script says of a sum."""
    refused = tuple(show.refused for show in one.shown if show.refused)
    return tuple(sentence.words for sentence in (*one.refusals, *one.notes, *refused))
