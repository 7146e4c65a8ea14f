"""What can be wrong with a translation. None of it stops the English from being used: the line stands in English instead."""

from __future__ import annotations

from stepwell.diagnostics.severity import Severity
from stepwell.source.faults import Fault


def _fault(code: int, name: str, summary: str, severity: Severity = Severity.SERIOUS) -> Fault:
    return Fault(name=name, code=f"TR{code:03d}", summary=summary, severity=severity, unusable=False)


NOT_READABLE = _fault(1, "translation-not-readable", "A file in translations/ is not written as gettext files are.")
OTHER_LANGUAGE = _fault(2, "translation-of-other-language", "The file's header names another language than its name.")
UNKNOWN_PLACE = _fault(3, "translation-of-nothing", "A translation for a step, part or role that the unit does not have.")
OLD_TEXT = _fault(
    4, "translation-of-old-text", "A translation of words that do not stand there any more; it is not used.", Severity.MINOR
)
NAMES_DIFFER = _fault(5, "translation-loses-name", "A `{part}` or `{number}` was lost or put in by the translation.")
FIGURES_DIFFER = _fault(6, "translation-changes-figure", "A figure or its unit is not the same in the translation.")
TWICE = _fault(7, "translation-twice", "Two entries for one text.")
PLURAL = _fault(8, "translation-in-plural-forms", "An entry with plural forms; cards have none.")
SAME_AS_ENGLISH = _fault(
    9, "translation-left-in-english", "A translation that is the English, word for word.", Severity.MINOR
)
NOT_LISTED = _fault(
    10, "translation-not-listed", "A language that unit.yaml does not list, so nothing is built in it.", Severity.MINOR
)
NO_FIXED_WORDS = _fault(
    11,
    "language-without-fixed-words",
    "The tool has no words of its own in this language; they stand in English.",
    Severity.MINOR,
)

TRANSLATION_FAULTS = (
    NOT_READABLE,
    OTHER_LANGUAGE,
    UNKNOWN_PLACE,
    OLD_TEXT,
    NAMES_DIFFER,
    FIGURES_DIFFER,
    TWICE,
    PLURAL,
    SAME_AS_ENGLISH,
    NOT_LISTED,
    NO_FIXED_WORDS,
)
