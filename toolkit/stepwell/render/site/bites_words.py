"""What would break a rule that holds, in the language of the page and with the numbers that are printed on the card."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import partial
from typing import Final

from stepwell.model.language import Language
from stepwell.report.bites import NONE_FOUND
from stepwell.report.results import Bites

_STEP: Final = re.compile(r"step \d+ \([^ ()]+\)")
"""As the report names a step: counted through the whole file, which the lines of a card are not."""
_SAID: Final = (
    "Leaving out step {mark} would break it.",
    "Leaving out step {mark} would break it, did a later step not notice or refuse.",
    "Moving step {mark} to the end of the card would break it.",
    NONE_FOUND,
)


def bites_words(bites: Bites, marks: Mapping[str, str], language: Language) -> tuple[str, bool]:
    """The witness in words, and whether they are in the language of the page; what names an action in the tool's own
    terms is in English alone. ``marks`` are the printed numbers by step id."""
    say = partial(language.say, "site")
    if bites.step is None:
        return (say(bites.statement), True) if bites.statement in _SAID else (bites.statement, language.english)
    mark = marks.get(bites.step, bites.step)
    plain = _STEP.sub("step {mark}", bites.statement, count=1)
    if plain in _SAID:
        return say(plain, mark=mark), True
    return plain.replace("{mark}", mark), language.english
