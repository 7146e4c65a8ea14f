"""The cards of a release in the unit's other languages: which there are, what each says, and the bytes of each.

An entry that releases cards in other languages has ``languages``: for each language that was approved the SHA-256 of its
printed text (``text``), of the words of its set (``labels``), which its drawing shows, and of its card (``pdf``), the
latter empty where there is no card in it because not all of it was translated. A release in English alone has no
``languages``, as no release had before there were any.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from stepwell.ledger.canonical import Json, digest

_CODE = re.compile(r"[a-z]{2,3}(?:-[A-Za-z0-9]{2,8}){0,2}")
_HASH = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Print:
    """A card in another language than English. ``text`` is the SHA-256 of what is printed, ``labels`` of the words of its
    set, ``pdf`` of the kept card, empty where there is none."""

    language: str
    text: str
    labels: str
    pdf: str


def prints_plain(prints: Iterable[Print]) -> dict[str, Json]:
    """As an entry holds them."""
    return {one.language: {"text": one.text, "labels": one.labels, "pdf": one.pdf} for one in prints}


def prints_of(plain: Json) -> tuple[Print, ...]:
    """What an entry holds, in order of language. Raises ValueError for what is no such thing.

    A language is part of a file's name, so it is nothing but a code; and a release in no other language says nothing.
    """
    if not isinstance(plain, dict):
        raise ValueError("no mapping")
    found = []
    for language, one in plain.items():
        if language == "en" or not _CODE.fullmatch(language):
            raise ValueError("no code of another language")
        if not isinstance(one, dict) or set(one) != {"text", "labels", "pdf"}:
            raise ValueError("not a text, labels and a card")
        text, labels, pdf = (one[name] for name in ("text", "labels", "pdf"))
        if not isinstance(text, str) or not isinstance(labels, str) or not isinstance(pdf, str):
            raise ValueError("no hashes")
        if not all(_HASH.fullmatch(hashed) for hashed in (text, labels, *([pdf] if pdf else []))):
            raise ValueError("no hashes")
        found.append(Print(language=language, text=text, labels=labels, pdf=pdf))
    if not any(one.pdf for one in found):
        raise ValueError("no card in another language")
    return tuple(sorted(found, key=lambda one: one.language))


def approved_as(prints: Iterable[Print]) -> dict[str, Json]:
    """The parts that an approval of these texts and labels is bound to."""
    found = tuple(prints)
    return {
        "translations": digest({one.language: one.text for one in found}),
        "labels": digest({one.language: one.labels for one in found}),
    }


def not_the_same(before: Iterable[Print], now: Iterable[Print]) -> tuple[str, ...]:
    """The languages of cards ``before`` that have no card ``now`` which says the same."""
    there = {(one.language, one.text, one.labels) for one in now if one.pdf}
    return tuple(one.language for one in before if one.pdf and (one.language, one.text, one.labels) not in there)
