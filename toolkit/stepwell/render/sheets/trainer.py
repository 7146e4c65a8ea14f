"""The trainer's sheet: why each line is there, what slips lead to, what the assessor looks for, and the sign-off.

It is for teaching, never for the bedside: it says what a search of a model found, which no card ever does.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from stepwell.model.rig import Rig
from stepwell.model.rule import Rule
from stepwell.model.slip import Sort
from stepwell.publish.sheet import HoldBar, Items, LanesBlock, Sheet, SheetItem, StepLine, lines_of, spoken
from stepwell.render.drawings.draw import Picture as Drawing
from stepwell.render.drawings.draw import draw
from stepwell.render.drawings.key import key_picture
from stepwell.render.drawings.plan import SHEET
from stepwell.render.sheets.common import known_states, sheet_foot, ticked
from stepwell.render.sheets.document import Block, Break, Document, Heading, Para, Picture, Row, Sign, Table, Title, Words
from stepwell.report.circuit_state import circuit_state
from stepwell.report.results import ProcedureReport
from stepwell.slips.answers import Answers, How
from stepwell.slips.results import Outcome, Slip

_SORT_WORDS = {
    Sort.OMITTED: "Left out",
    Sort.EARLY: "Done too early",
    Sort.TWICE: "Done twice",
    Sort.LOOK_ALIKE: "Done to a look-alike",
    Sort.UNCHECKED: "Not looked at",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """What a trainer's sheet is made from."""

    sheet: Sheet
    rig: Rig | None
    report: ProcedureReport | None
    slips: Answers | None
    rules: Mapping[str, Rule]
    as_of: date


def trainer_sheet(lesson: Lesson) -> Document:
    """The sheet of one procedure; without a checked order it has no slips and no drawings, and says so."""
    sheet = lesson.sheet
    blocks: list[Block] = [
        Title(words=f"For trainers: {sheet.title}"),
        Para(head="Use when:", words=spoken(sheet.use_when)),
        Para(head="People:", words=", ".join(role.label for role in sheet.people) + f". At least: {sheet.fewest_people}."),
        *([Para(head="Set up:", words="; ".join(spoken(one) for one in sheet.starts) + ".")] if sheet.starts else []),
        Heading(words="Line by line"),
        Table(
            id="lines",
            columns=("auto", "5", "6"),
            head=("Line", "What", "Why, and what a slip leads to"),
            rows=_lines(lesson),
        ),
    ]
    if lesson.slips is None:
        blocks.append(Para(words="The order of this procedure was not checked, so nothing is known of slips."))
    else:
        blocks.append(Para(words=_headline(lesson.slips)))
    blocks += [
        Heading(words="What the assessor looks for"),
        Table(id="seen", columns=("1", "box"), head=("The trainee", "Seen"), rows=_criteria(lesson)),
        Sign(
            title="Sign-off",
            roles=("Trainee", "Assessor"),
            words="Did it alone, without help, in the order of the card. Bound to the code at the foot of this page.",
        ),
        *_pictures(lesson),
    ]
    return Document(
        sort="trainer",
        id=sheet.id,
        title=f"For trainers: {sheet.title}",
        sort_words="TRAINER'S SHEET, NOT A CARD",
        language=sheet.language,
        unit=sheet.unit,
        foot=sheet_foot(sheet, lesson.as_of),
        blocks=tuple(blocks),
        draft=sheet.status.draft,
        procedure=sheet.id,
    )


def _headline(slips: Answers) -> str:
    report = slips.report
    said = f"Fatal slips that nothing in the model catches: {report.fatal_silent} of {report.fatal_total}. "
    if report.fatal_silent:
        said += (
            f"The unit lives with {slips.count(How.WAIVED)} of them for a stated reason, leans on a second person's "
            f"confirmation for {slips.count(How.CONFIRMED)}, and has no answer to {slips.count(How.NOTHING)}. "
        )
    return said + ("This is about a model of the circuit; slips of the hand that it does not know are not in it.")


def _lines(lesson: Lesson) -> tuple[Row, ...]:
    rows: list[Row] = []
    for line in lines_of(lesson.sheet.items):
        expect = "; ".join(spoken(one.text) for one in line.expect)
        what = f"{line.role.mark}: {spoken(line.text)}" + (f" To see: {expect}." if expect else "")
        why = spoken(line.why)
        more = [f"{one.signal.capitalize()}: {spoken(one.hazard)} {spoken(one.consequence)}" for one in line.warnings]
        more += _slips(lesson, line)
        critical = lesson.slips is not None and line.id in lesson.slips.report.critical
        mark = f"{line.mark} critical" if critical else line.mark
        rows.append(Row(cells=(Words(words=mark, strong=True), Words(words=what), Words(words=why, more=tuple(more)))))
    return tuple(rows)


def _slips(lesson: Lesson, line: StepLine) -> list[str]:
    """The slips of a line that matter: those that do harm unseen, then where others come to light."""
    if lesson.slips is None:
        return []
    marks = {one.id: one.mark for one in lines_of(lesson.sheet.items)}
    mine = [slip for slip in lesson.slips.report.slips if slip.step == line.id and slip.outcome is not Outcome.HARMLESS]
    told: dict[str, list[str]] = {}
    for slip in sorted(mine, key=lambda slip: slip.outcome is not Outcome.SILENT):
        outcome = _outcome(slip, marks, lesson.rules) + _answer(slip, lesson.slips, marks)
        told.setdefault(outcome, []).append(_SORT_WORDS[slip.sort])
    return [f"{_listed(sorts)}: {outcome}" for outcome, sorts in told.items()]


def _listed(sorts: list[str]) -> str:
    words = " or ".join(sorts).lower()
    return words[:1].upper() + words[1:]


def _outcome(slip: Slip, marks: Mapping[str, str], rules: Mapping[str, Rule]) -> str:
    where = "at the end" if slip.where is None else f"at line {marks[slip.where]}" if slip.where in marks else "at a hold"
    match slip.outcome:
        case Outcome.SILENT:
            rule = rules.get(slip.rule or "")
            harm = f" ({rule.title[:1].lower()}{rule.title[1:]})" if rule else ""
            return f"nobody notices before harm {where}{harm}."
        case Outcome.STOPPED:
            return f"can't go on {where}."
        case Outcome.CAUGHT:
            return f"noticed {where}."
        case Outcome.ONLY_CATCH:
            return "nothing else would show another slip."
        case _:
            return "not decided."


def _answer(slip: Slip, slips: Answers, marks: Mapping[str, str]) -> str:
    """What answers for a silent fatal slip."""
    answer = slips.answer(slip)
    if answer is None:
        return ""
    if answer.how is How.CONFIRMED:
        where = " and ".join(marks.get(step, step) for step in slip.confirmed_by)
        return f" Only the second person who confirms at line {where} can notice."
    if answer.how is How.NOTHING:
        return " Nothing answers for this yet."
    return f" The unit lives with it: {' '.join(answer.waivers)}"


def _criteria(lesson: Lesson) -> tuple[Row, ...]:
    """What can be seen from outside: critical lines, warnings, confirmations, readings, holds, the call at the end."""
    sheet = lesson.sheet
    critical = () if lesson.slips is None else lesson.slips.report.critical
    rows: list[Row] = []
    for line in lines_of(sheet.items):
        looked = "; ".join(spoken(one.text) for one in line.expect)
        if line.id in critical or line.warnings:
            rows.append(ticked(f"does line {line.mark} in its turn: {spoken(line.text)}", strong=-1))
        if looked:
            asked = f" Asked what if not: {spoken(line.if_not.text)}" if line.if_not is not None else ""
            rows.append(ticked(f"looks, and says at line {line.mark}: {looked}.{asked}", strong=-1))
        if line.confirm is not None:
            rows.append(ticked(f"waits at line {line.mark} until {line.confirm.label} has confirmed it", strong=-1))
    for hold in _holds(sheet.items):
        agreed = " and ".join(role.label for role in hold.agree)
        rows.append(
            ticked(f"stops at the hold: {spoken(hold.title)}" + (f"; agreed by {agreed}" if agreed else ""), strong=-1)
        )
    if sheet.done_call:
        rows.append(ticked(f"calls at the end: {spoken(sheet.done_call)}", strong=-1))
    return tuple(rows)


def _holds(items: Items) -> tuple[HoldBar, ...]:
    found: list[HoldBar] = []
    for item in items:
        if isinstance(item, HoldBar):
            found.append(item)
        elif isinstance(item, LanesBlock):
            found += [hold for lane in item.lanes for hold in _holds(lane.items)]
        elif not isinstance(item, StepLine):
            found += _holds(getattr(item, "items", ()))
    return tuple(found)


def _pictures(lesson: Lesson) -> list[Block]:
    """The circuit at the start and after each block of the card, one to a page, with the key on the first."""
    rig, report = lesson.rig, lesson.report
    started = known_states(rig, report)
    if rig is None or started is None:
        return []
    layout, states = started
    start = circuit_state(layout, next(iter(states.values())).before)
    out: list[Block] = [Heading(words="The circuit, step by step")]
    out.append(Picture(id="key", svg=key_picture(), alt="The key to the drawings", width="110"))
    shown = [("start", "At the start", Drawing(state=start, key=False, frame=SHEET, ground=False))]
    before = start
    for number, item in enumerate(lesson.sheet.items):
        last = next((line for line in reversed(_lines_of(item)) if line.id in states), None)
        if last is None:
            continue
        after = circuit_state(layout, states[last.id].after)
        changed = after.changed(before)
        if changed:
            caption = f"After line {last.mark}: {spoken(last.text)}"
            shown.append(
                (f"block-{number}", caption, Drawing(state=after, changed=changed, key=False, frame=SHEET, ground=False))
            )
            before = after
    for name, caption, drawing in shown:
        svg = draw(rig, drawing)
        out += [Break(), Picture(id=name, svg=svg, alt=caption, caption=caption)]
    return out


def _lines_of(item: SheetItem) -> tuple[StepLine, ...]:
    return lines_of((item,))
