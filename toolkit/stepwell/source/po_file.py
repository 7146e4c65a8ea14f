"""A gettext file (PO) as entries with their lines. What polib would pass over in silence is refused here, with its place."""

from __future__ import annotations

import re
from dataclasses import dataclass

import polib

WIDTH = 100
_QUOTED = r'"(?:[^"\\]|\\.)*"'
_LINE = re.compile(rf"(?:(?P<key>msgctxt|msgid|msgid_plural|msgstr(?:\[\d+\])?)\s+)?{_QUOTED}\s*$")
_KEY = re.compile(r"(?:#~\s*)?(msgctxt|msgid_plural|msgid|msgstr)\b")
_BEFORE = {
    "msgctxt": ("", "msgstr"),
    "msgid": ("", "msgctxt", "msgstr"),
    "msgid_plural": ("msgid",),
    "msgstr": ("msgid", "msgid_plural", "msgstr[]"),
}
"""What may stand before each keyword."""


class PoProblemError(ValueError):
    """The text is no PO file: where, what is wrong, and how to mend it."""

    def __init__(self, line: int, message: str, mend: str) -> None:
        super().__init__(message)
        self.line = line
        self.message = message
        self.mend = mend


@dataclass(frozen=True, slots=True, kw_only=True)
class PoEntry:
    """One entry. ``about`` are the extracted comments, ``note`` the translator's, ``line`` where it begins.

    ``previous`` is the English that the translation was made for, if that has changed since.
    """

    context: str
    english: str
    words: str = ""
    fuzzy: bool = False
    obsolete: bool = False
    previous: str = ""
    about: str = ""
    note: str = ""
    flags: tuple[str, ...] = ()
    plural: bool = False
    line: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class PoFile:
    """A whole file; ``head`` are the fields of its header in their order, ``note`` the comment above it."""

    entries: tuple[PoEntry, ...] = ()
    head: tuple[tuple[str, str], ...] = ()
    note: str = ""

    @property
    def language(self) -> str:
        """What the header says, or nothing."""
        return dict(self.head).get("Language", "").strip()


def parse_po(text: str) -> PoFile:
    """The entries of a text. Raises PoProblemError."""
    starts = _starts(text)
    if not text.strip():
        return PoFile()
    try:
        found = polib.pofile(text + "\n", wrapwidth=WIDTH)
    except (OSError, ValueError, LookupError, AttributeError, TypeError) as error:  # polib raises whatever its states meet
        line = re.search(r"line (\d+)", str(error))
        raise PoProblemError(
            int(line[1]) if line else 1, "This is not written as a gettext file is.", "Write it anew with an editor for PO."
        ) from error
    headed = bool(found.metadata) or bool(re.search(r'^msgid\s+""\s*\nmsgstr', text, re.M))
    entries = [*found]
    if len(entries) != len(starts) - headed:
        raise PoProblemError(1, "Some entries of this file can't be told apart.", "Write it anew with an editor for PO.")
    return PoFile(
        entries=tuple(_entry(one, line) for one, line in zip(entries, starts[headed:], strict=True)),
        head=tuple((str(key), str(value)) for key, value in found.metadata.items()),
        note=str(found.header),
    )


def _entry(one: polib.POEntry, line: int) -> PoEntry:
    return PoEntry(
        context=str(one.msgctxt or ""),
        english=str(one.msgid),
        words=str(one.msgstr),
        fuzzy="fuzzy" in one.flags,
        obsolete=bool(one.obsolete),
        previous=str(one.previous_msgid or ""),
        about=str(one.comment),
        note=str(one.tcomment),
        flags=tuple(str(flag) for flag in one.flags if flag != "fuzzy"),
        plural=bool(one.msgid_plural),
        line=line,
    )


def _starts(text: str) -> list[int]:
    """The line of every entry's first keyword. Raises PoProblemError for a line or an order that makes no sense."""
    starts: list[int] = []
    last, began = "", 0
    for number, line in enumerate(text.split("\n"), 1):
        bare = line.strip()
        key = _KEY.match(bare)
        if bare and not bare.startswith("#") and not _LINE.match(bare):
            raise PoProblemError(number, _why(bare), 'Enclose the text in straight quotes; write \\" for a quote inside it.')
        if key is None:
            if bare.startswith('"') and not last:
                raise PoProblemError(
                    number, "A text in quotes without a keyword before it.", "Delete it, or begin an entry."
                )
            continue
        word = "msgstr[]" if bare.removeprefix("#~").strip().startswith("msgstr[") else key[1]
        before = _BEFORE[key[1]]
        if word == "msgstr[]" and last not in ("msgid_plural", "msgstr[]"):
            before = ()
        if last not in before and not (last == "msgstr[]" and key[1] in ("msgctxt", "msgid")):
            raise PoProblemError(number, f"`{key[1]}` stands here after `{last or 'nothing'}`.", _ORDER)
        if key[1] == "msgctxt" or (key[1] == "msgid" and last != "msgctxt"):
            began = number
        if key[1] == "msgid":
            starts.append(began)
        last = word
    if last not in ("", "msgstr", "msgstr[]"):
        raise PoProblemError(began, f"This entry ends after `{last}`.", _ORDER)
    return starts


_ORDER = "An entry is `msgctxt`, then `msgid`, then `msgstr`."


def _why(bare: str) -> str:
    if bare.count('"') % 2 and '\\"' not in bare:
        return "A quote in this line is never closed."
    if _KEY.match(bare):
        return "What follows the keyword is not one text in quotes."
    return "This line is no comment, no keyword and no text in quotes."


def po_text(file: PoFile) -> str:
    """The file as text: the same entries give the same text."""
    out = polib.POFile(wrapwidth=WIDTH)
    out.header = file.note
    out.metadata = dict(file.head)
    for one in file.entries:
        out.append(
            polib.POEntry(
                msgctxt=one.context or None,
                msgid=one.english,
                msgstr=one.words,
                comment=one.about,
                tcomment=one.note,
                flags=[*(["fuzzy"] if one.fuzzy else []), *one.flags],
                previous_msgid=one.previous or None,
                obsolete=one.obsolete,
            )
        )
    return str(out).rstrip("\n") + "\n"
