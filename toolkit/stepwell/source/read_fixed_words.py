"""The tool's own words in other languages: one gettext catalogue per language, shipped with the package.

The context of an entry says where the words stand: ``card``, ``site``, ``sentence`` (generated sentences), ``fact``,
``state``, ``kind``, ``number``, ``date``, ``sheet`` (beside the cards), ``figure``, ``word`` (of a part) and
``rule`` (title, harm, control, what is not checked and the whole sentence; and the names of findings on cards).
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import polib

from stepwell.model.language import ENGLISH, Language
from stepwell.resources import package_dir

FOLDER = "source/fixed_words"


def languages() -> tuple[str, ...]:
    """The languages that the tool has words of its own in, English first."""
    return ("en", *sorted(path.stem for path in package_dir(FOLDER).glob("*.po")))


@cache
def fixed_words(code: str) -> Language:
    """The language with the tool's words and none of the unit's.

    A language that the tool does not have is given without words, so that each of them is marked as English.
    """
    if code == "en":
        return ENGLISH
    path = package_dir(FOLDER) / f"{code}.po"
    return Language(code=code, words=_confirmed(path.read_text(encoding="utf-8")) if path.is_file() else {})


def _confirmed(text: str) -> Mapping[tuple[str, str], str]:
    entries = polib.pofile(text)
    return {(str(one.msgctxt), str(one.msgid)): str(one.msgstr) for one in entries if one.msgstr and not one.fuzzy}
