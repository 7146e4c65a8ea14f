"""A document's bytes to a draft and its report; nothing is written here."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from stepwell.authoring.blocks import Reading, UnreadableError
from stepwell.authoring.draft import Draft
from stepwell.authoring.draft_text import Head, draft_text, mint_ids, people_of, report_text
from stepwell.authoring.ids import Choose
from stepwell.authoring.import_docx import read_docx
from stepwell.authoring.import_draft import draft_of
from stepwell.authoring.import_markdown import read_markdown
from stepwell.authoring.people import People
from stepwell.authoring.proposals import comments_of, propose, shown
from stepwell.model.rig import Rig

SUFFIXES = (".docx", ".md", ".markdown")


@dataclass(frozen=True, slots=True, kw_only=True)
class Imported:
    """The text of the procedure's file, the report on it, and the draft itself."""

    text: str
    report: str
    draft: Draft


def read_document(name: str, data: bytes) -> Reading:
    """The blocks of a document by the ending of its name. Raises UnreadableError."""
    lower = name.lower()
    if lower.endswith(".docm"):
        raise UnreadableError("This is a document with macros (.docm).", "Save it as a Word document (.docx).")
    if lower.endswith((".md", ".markdown")):
        return read_markdown(data)
    if lower.endswith((".docx", ".doc")):
        return read_docx(data)
    raise UnreadableError(f"{name} is neither a Word document nor Markdown.", f"Import a file that ends in {_listed()}.")


def import_document(
    name: str,
    data: bytes,
    head: Head,
    people: People,
    rig: Rig | None,
    *,
    used: Collection[str] = (),
    choose: Choose | None = None,
) -> Imported:
    """The draft of a document. ``head.people`` are those asked for; whoever else does a line is added.

    Raises UnreadableError if the document can't be read or has not one line.
    """
    reading = read_document(name, data)
    draft = draft_of(reading.blocks, people, _title(name))
    if not draft.body.lines():
        raise UnreadableError("There is no line to do in the document.", "Number the lines, or begin them with a verb.")
    mint_ids(draft, used, choose)
    head = replace(head, people=people_of(draft, head.people))
    proposals = [] if rig is None else [(line, propose(line.say, rig)) for line in draft.body.lines()]
    comments = {line.id: comments_of(one) for line, one in proposals if one is not None}
    told = tuple(shown(line.id, line.say, one) for line, one in proposals if one is not None)
    return Imported(
        text=draft_text(draft, head, comments), report=report_text(draft, head, reading.remarks, told), draft=draft
    )


def _title(name: str) -> str:
    return name.rpartition("/")[2].rpartition(".")[0] or name


def _listed() -> str:
    return f"{', '.join(SUFFIXES[:-1])} or {SUFFIXES[-1]}"
