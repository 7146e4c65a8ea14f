"""From a procedure and its check to the sheet that is laid out."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from stepwell.model.language import ENGLISH, Language
from stepwell.model.procedure import KitItem, Procedure, Starts
from stepwell.model.rig import Rig
from stepwell.model.workspace import Workspace
from stepwell.publish.body import Context, build_items
from stepwell.publish.canonical import content_hash
from stepwell.publish.in_english import texts_in_english
from stepwell.publish.notice import USE_SENTENCES, notice_lines
from stepwell.publish.numbering import marks_of
from stepwell.publish.sheet import (
    KitLine,
    LabelRun,
    ReleaseMark,
    RigLine,
    RoleMark,
    Sheet,
    SheetText,
    TextRun,
)
from stepwell.publish.status import status_of
from stepwell.publish.words import Names, conjuncts, printed, resolve, sentence, tidy
from stepwell.quantities.units import to
from stepwell.report.results import ProcedureReport


def build_sheet(
    workspace: Workspace,
    procedure: Procedure,
    report: ProcedureReport | None,
    as_of: date,
    *,
    release: ReleaseMark | None = None,
    language: Language = ENGLISH,
    why: str = "",
) -> Sheet:
    """The sheet of one procedure. Without ``release`` it is a draft; ``report`` None means that it was not checked.
    ``why`` says what the procedure's releases have to do with its being a draft.

    Never fails on a procedure that the loader let through: what can't be resolved is shown by its id.
    """
    rig = next((rig for rig in workspace.rigs if rig.id == procedure.rig), None)
    context = _context(workspace, procedure, rig, language)
    names = context.names
    sheet = Sheet(
        id=procedure.id,
        title=procedure.title,
        version=procedure.version,
        kind=procedure.kind.value,
        language=language.code,
        unit=workspace.unit.name,
        reading_distance_mm=round(to(workspace.unit.reading_distance, "mm")),
        use=language.say("card", USE_SENTENCES[procedure.use]),
        use_when=resolve(procedure.use_when, names),
        do_not_use_when=resolve(procedure.do_not_use_when, names),
        people=tuple(context.role(name) for name in procedure.people),
        fewest_people=procedure.fewest_people,
        kit=tuple(_kit(item, context) for item in procedure.kit),
        cautions=tuple(resolve(words, names) for words in procedure.cautions),
        starts=_starts(procedure.starts, context),
        items=build_items(procedure.body, context),
        ends=tuple(sentence(one, names) for predicate in procedure.ends for one in conjuncts(predicate)),
        done_call=resolve(procedure.done_call, names),
        hands_over=procedure.hands_over,
        sources=procedure.sources,
        notice=notice_lines(workspace.unit.notice, language),
        rig=_rig(procedure.rig, rig),
        status=status_of(procedure, report, release, language, why),
        release=release,
        as_of=as_of,
    )
    sheet = replace(sheet, in_english=texts_in_english(sheet))
    return replace(sheet, hash=content_hash(sheet))


def _context(workspace: Workspace, procedure: Procedure, rig: Rig | None, language: Language) -> Context:
    parts = rig.parts if rig else ()
    unit = workspace.unit
    return Context(
        names=Names(
            labels={part.id: part.label or part.id for part in parts},
            figures={number.name: printed(str(number.value), language) for number in unit.numbers},
            language=language,
        ),
        roles={role.id: RoleMark(id=role.id, label=role.label, mark=role.mark) for role in unit.roles},
        places={part.id: part.place for part in parts if part.place},
        marks=marks_of(procedure.body),
        cards={other.id: other.title for other in workspace.procedures},
        rig=procedure.rig,
        caps=frozenset(part.id for part in parts if part.kind == "cap"),
    )


def _kit(item: KitItem, context: Context) -> KitLine:
    amount = context.names.language.number(item.amount)
    if item.part is None:
        return KitLine(name=item.name, amount=amount)
    label = context.names.labels.get(item.part, item.part)
    return KitLine(
        name=label if item.name in ("", item.part) else item.name,
        amount=amount,
        part=item.part,
        place=context.places.get(item.part, ""),
    )


def _rig(name: str, rig: Rig | None) -> RigLine:
    if rig is None:
        return RigLine(id=name, title=name, version="(unknown)", inspected=None)
    return RigLine(id=rig.id, title=rig.title, version=rig.version, inspected=rig.inspected)


def _starts(starts: Starts | None, context: Context) -> tuple[SheetText, ...]:
    """The state to start from, one clause each: the baseline first, then what differs, then what may be either."""
    if starts is None:
        return ()
    out: list[SheetText] = []
    if starts.procedure is not None:
        title = context.cards.get(starts.procedure, starts.procedure)
        out.append((TextRun(context.say("as “{title}” leaves it", title=title)),))
    if starts.baseline is not None:
        baseline = context.names.language.text(f"rig:{context.rig}", starts.baseline.replace("-", " "))
        out.append((TextRun(baseline),))
    for setting in starts.settings:
        out.append(_setting(setting.part, (setting.word,), context))
    for part, words in starts.open_settings:
        out.append(_setting(part, words, context))
    return tuple(out)


def _setting(part: str, words: tuple[str, ...], context: Context) -> SheetText:
    label = LabelRun(context.names.labels.get(part, part), part)
    said = [_state(part, word, context) for word in words]
    if len(said) == 1:
        return tidy([label, TextRun(f": {said[0]}")])
    either = context.say("may be {states} or {last}", states=", ".join(said[:-1]), last=said[-1])
    return tidy([label, TextRun(f": {either}")])


def _state(part: str, word: str, context: Context) -> str:
    kind, colon, other = word.partition(":")
    if colon:
        return context.say(f"{kind} to {{part}}", part=context.names.labels.get(other, other))
    if word == "off" and part in context.caps:
        return context.names.language.say("drawing", "off")
    return context.names.language.say("state", word.replace("-", " "))
