"""What an approval is bound to: everything that the card depends on, as named hashes and one over them all.

=============  ==================================================================================
part           what it covers
=============  ==================================================================================
model          what is done, by whom, in which order, and what is expected; the rig; the start and the ends
text           everything that is printed for people
rules          every rule that had something to look at, as it was then
verdicts       what the check said of each of them, and what was waived
catalogue      the rules that come with the tool, as their files
template       the layout and its fonts
tool           the version of the tool and of the layout engine
translations   the same as ``text`` in every other language of the unit; not there where it has none
labels         the words of the rig in these: a card may show its circuit with parts that no line names
=============  ==================================================================================

``model`` and ``text`` decide whether a re-release may go through in one go: if both and ``verdicts`` are unchanged,
only the layout or the tool is new. Fields of the model at their default are left out, so that a tool that can say more
has the same hash for what says the same.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from stepwell.model.bodies import each_leaf, through
from stepwell.model.procedure import Body, Choose, Hold, Item, Lanes, Meet, Procedure, Stage, Step
from stepwell.model.rig import Rig
from stepwell.model.workspace import Workspace
from stepwell.publish.canonical import Plain, content, content_bytes
from stepwell.publish.sheet import Sheet
from stepwell.report.results import ProcedureReport, Status, Verdict

SAME_MEANING = ("model", "text", "verdicts")
KEPT = ("text", "verdicts", "catalogue", "template")
"""Parts that are kept beside a release, so that what it was can be told later, and not only that it was another."""
WAIVED = "violated, waived"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """What makes the cards: its ``version`` with that of the layout engine, the files of its rules by name with their
    text, and the files of the layout by name with their SHA-256."""

    version: str
    catalogue: dict[str, str]
    template: dict[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Translated:
    """A card in another language: ``text`` the bytes of all that is printed, ``digest`` their SHA-256, ``labels`` that of
    the words of the rig, and how many texts of it stand in English."""

    language: str
    text: bytes
    digest: str
    labels: str
    in_english: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """``parts`` are the hashes by name (``tool`` in words); ``kept`` the bytes behind those of ``KEPT``; ``translated``
    the cards in the unit's other languages."""

    parts: dict[str, str]
    kept: dict[str, bytes]
    translated: tuple[Translated, ...] = ()


def bound(
    workspace: Workspace,
    procedure: Procedure,
    report: ProcedureReport | None,
    sheet: Sheet,
    tool: Tool,
    translated: Iterable[Sheet] = (),
    rigs: Mapping[str, Rig | None] | None = None,
) -> Bound:
    """All that an approval of this procedure is bound to. ``translated`` are its sheets in the unit's other languages,
    ``rigs`` its rig in each of them."""
    rig = next((rig for rig in workspace.rigs if rig.id == procedure.rig), None)
    verdicts = report.verdicts if report is not None else ()
    looked = {verdict.rule for verdict in verdicts if verdict.status is not Status.NOT_APPLICABLE}
    said = {
        "model": content([without_words(procedure), _bare_rig(rig)]),
        "text": content_bytes(sheet),
        "rules": content([replace(rule, path="") for rule in workspace.rules if rule.name in looked]),
        "verdicts": content(verdicts_told(verdicts)),
        "catalogue": content(tool.catalogue),
        "template": content(tool.template),
    }
    others = tuple(_translated(one, (rigs or {}).get(one.language)) for one in translated)
    if others:
        said["translations"] = content({one.language: one.digest for one in others})
        said["labels"] = content({one.language: one.labels for one in others})
    hashes = {name: hashlib.sha256(data).hexdigest() for name, data in said.items()}
    kept = {name: said[name] for name in KEPT}
    return Bound(parts={**hashes, "tool": tool.version}, kept=kept, translated=others)


def _translated(sheet: Sheet, rig: Rig | None) -> Translated:
    text = content_bytes(sheet)
    return Translated(
        language=sheet.language,
        text=text,
        digest=hashlib.sha256(text).hexdigest(),
        labels=hashlib.sha256(content(_bare_rig(rig))).hexdigest(),
        in_english=sheet.in_english,
    )


def verdicts_told(verdicts: Iterable[Verdict]) -> list[Plain]:
    """Pairs of rule and verdict, in order of name. A rule that had nothing to look at says nothing, and is left out."""
    found = {
        verdict.rule: WAIVED if verdict.waiver is not None and verdict.status is Status.VIOLATED else verdict.status.value
        for verdict in verdicts
        if verdict.status is not Status.NOT_APPLICABLE
    }
    return [[rule, found[rule]] for rule in sorted(found)]


def content_of(parts: dict[str, str]) -> str:
    """The one hash over all parts."""
    return hashlib.sha256(content(parts)).hexdigest()


def without_words(procedure: Procedure) -> Procedure:
    """The procedure with what is only said left out: a change of wording leaves it as it is."""

    def bare(leaf: Step | Hold) -> Item:
        if isinstance(leaf, Hold):
            return replace(leaf, title=(), abort=())
        told = leaf.if_not
        quiet = None if told is None else replace(told, words=())
        return replace(leaf, say=(), why=(), missed=(), warn=(), if_not=quiet)

    return replace(
        procedure,
        title="",
        version="",
        use_when=(),
        do_not_use_when=(),
        kit=(),
        cautions=(),
        sources=(),
        done_call=(),
        path="",
        body=_untitled(each_leaf(procedure.body, bare)),
    )


def _untitled(body: Body) -> Body:
    out: list[Item] = []
    for item in body:
        inner = through(item, _untitled)
        match inner:
            case Choose():
                out.append(replace(inner, question=(), outcomes=tuple(replace(o, label="") for o in inner.outcomes)))
            case Step() | Hold() | Meet():  # the name of a meeting says who waits for whom
                out.append(inner)
            case Lanes() | Stage():
                out.append(replace(inner, title=""))
            case _:
                out.append(replace(inner, title=""))
    return tuple(out)


def _bare_rig(rig: Rig | None) -> Rig | None:
    return None if rig is None else replace(rig, path="", inspected=None)
