"""What an approval is bound to: everything that the card depends on, as named hashes and one over them all.

=============  ==================================================================================
part           what it covers
=============  ==================================================================================
model          what is done, by whom, in which order, and what is expected; the rig; the start and the ends
text           everything that is printed for people
rules          every rule that had something to look at, as it was then
verdicts       what the check said of each of them
template       the layout and its fonts
tool           the version of the tool and of the layout engine
=============  ==================================================================================

``model`` and ``text`` decide whether a re-release may go through in one go: if both and ``verdicts`` are unchanged,
only the layout or the tool is new.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import fields, is_dataclass, replace
from datetime import date
from decimal import Decimal

from stepwell.model.bodies import each_leaf, through
from stepwell.model.procedure import Body, Choose, Hold, Item, Lanes, Meet, Procedure, Stage, Step
from stepwell.model.rig import Rig
from stepwell.model.workspace import Workspace
from stepwell.publish.sheet import Sheet
from stepwell.report.results import ProcedureReport, Status

Tree = None | bool | int | str | list["Tree"] | dict[str, "Tree"]

SAME_MEANING = ("model", "text", "verdicts")


def bound_parts(
    workspace: Workspace, procedure: Procedure, report: ProcedureReport | None, sheet: Sheet, *, template: str, tool: str
) -> dict[str, str]:
    """The hash of every part, by name. ``template`` is the hash of the layout's files, ``tool`` a version text."""
    rig = next((rig for rig in workspace.rigs if rig.id == procedure.rig), None)
    verdicts = report.verdicts if report is not None else ()
    looked = {verdict.rule for verdict in verdicts if verdict.status is not Status.NOT_APPLICABLE}
    return {
        "model": _hash([_tree(without_words(procedure)), _tree(_bare_rig(rig))]),
        "text": sheet.hash,
        "rules": _hash([_tree(replace(rule, path="")) for rule in workspace.rules if rule.name in looked]),
        "verdicts": _hash([[verdict.rule, verdict.status.value] for verdict in verdicts]),
        "template": template,
        "tool": tool,
    }


def content_of(parts: dict[str, str]) -> str:
    """The one hash over all parts."""
    return _hash(dict(sorted(parts.items())))


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


def _tree(value: object) -> Tree:
    """A value of the model as JSON data. Places in files (fields that do not count in comparisons) are left out."""
    if value is None or isinstance(value, bool | int | str):
        return value
    if isinstance(value, date | Decimal):
        return str(value)
    if isinstance(value, tuple | list):
        return [_tree(item) for item in value]
    if isinstance(value, frozenset):
        return [*sorted(str(item) for item in value)]
    if is_dataclass(value) and not isinstance(value, type):
        found: dict[str, Tree] = {"is": type(value).__name__}
        found.update({spec.name: _tree(getattr(value, spec.name)) for spec in fields(value) if spec.compare})
        return found
    raise TypeError(f"no plain form for {type(value).__name__}")


def _hash(value: Tree) -> str:
    text = json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()
