"""The body of a procedure as blocks and lines of a sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import count

from stepwell.diagnostics.severity import Certainty, Severity, signal_word
from stepwell.model.bodies import meetings_of
from stepwell.model.procedure import (
    AnyOrder,
    Body,
    Choose,
    Expectation,
    Hold,
    Item,
    Lane,
    Lanes,
    Meet,
    Otherwise,
    Outcome,
    PartName,
    Repeat,
    Stage,
    Step,
    Warn,
)
from stepwell.model.quantity import Quantity
from stepwell.publish.sheet import (
    AnyOrderBlock,
    ExpectLine,
    FigureRun,
    HoldBar,
    IfNotLine,
    Items,
    LaneColumn,
    LanesBlock,
    MeetLine,
    OutcomeBranch,
    PartPlace,
    QuestionBlock,
    RepeatBlock,
    RoleMark,
    SheetItem,
    SheetText,
    StageBlock,
    StepLine,
    TextRun,
    TimeFields,
    WarningBox,
)
from stepwell.publish.words import Names, expect_lines, resolve, sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What the lines need from outside the body: names, roles, places of parts, marks of lines, titles of cards."""

    names: Names
    roles: Mapping[str, RoleMark]
    places: Mapping[str, str]
    marks: Mapping[str, str]
    cards: Mapping[str, str]
    rig: str = ""
    caps: frozenset[str] = frozenset()
    """Parts of which "off" says that they are taken off; of a tap it says that it is shut."""
    meetings: Mapping[str, tuple[RoleMark, ...]] = field(default_factory=dict)
    """Inside a lane: the other roles that come to each meeting."""
    count: Iterator[int] = field(default_factory=lambda: count(1))

    def say(self, english: str, **slots: str) -> str:
        """Words of a generated sentence."""
        return self.names.say(english, **slots)

    def role(self, name: str) -> RoleMark:
        """The role; one that the unit does not list is shown by its id, which the loader has reported."""
        return self.roles.get(name) or RoleMark(id=name, label=name, mark=name[:3].upper())


def build_items(body: Body, context: Context, *, ordered: bool = True) -> Items:
    """The body's items in the order of the page."""
    return tuple(_item(item, context, ordered) for item in body)


def _item(item: Item, context: Context, ordered: bool) -> SheetItem:
    match item:
        case Step():
            return _step(item, context, ordered)
        case Stage(title=title, body=inner):
            return StageBlock(title=title, items=build_items(inner, context))
        case AnyOrder(title=title, body=inner):
            return AnyOrderBlock(title=title, items=build_items(inner, context, ordered=False))
        case Lanes(title=title, lanes=lanes):
            return LanesBlock(title=title, lanes=tuple(_column(lane, lanes, context) for lane in lanes))
        case Meet(name=name):
            roles = context.meetings.get(name, ())
            return MeetLine(id=f"meet-{next(context.count)}", name=name, roles=roles)
        case Choose():
            return QuestionBlock(
                id=item.id,
                mark=context.marks[item.id],
                role=context.role(item.who),
                text=resolve(item.question, context.names),
                outcomes=tuple(_outcome(outcome, context) for outcome in item.outcomes),
            )
        case Repeat():
            return RepeatBlock(
                id=item.id,
                title=item.title,
                until=sentence(item.until, context.names),
                at_most=item.at_most,
                items=build_items(item.body, context),
            )
        case Hold():
            return HoldBar(
                id=item.id,
                title=resolve(item.title, context.names),
                until=_expected(item.until, context, frozenset()),
                agree=tuple(context.role(name) for name in item.agree),
                abort=resolve(item.abort, context.names),
            )


def _column(lane: Lane, lanes: tuple[Lane, ...], context: Context) -> LaneColumn:
    others = [other for other in lanes if other is not lane]
    meetings = {
        name: tuple(context.role(other.who) for other in others if name in meetings_of(other.body))
        for name in meetings_of(lane.body)
    }
    inside = replace(context, meetings=meetings)
    return LaneColumn(role=context.role(lane.who), items=build_items(lane.body, inside))


def _step(step: Step, context: Context, ordered: bool) -> StepLine:
    named = tuple(dict.fromkeys(run.part for run in step.say if isinstance(run, PartName)))
    return StepLine(
        id=step.id,
        mark=context.marks[step.id],
        ordered=ordered,
        role=context.role(step.who),
        text=resolve(step.say, context.names),
        boxes=1 if step.at_once else max(1, len(step.do)),
        places=tuple(_place(part, context) for part in named if context.places.get(part)),
        expect=_expected(step.expect, context, frozenset(named)),
        if_not=None if step.if_not is None else _otherwise(step.if_not, context),
        confirm=None if step.confirm is None else context.role(step.confirm),
        why=resolve(step.why, context.names),
        warnings=tuple(_warning(warn, context.names) for warn in step.warn),
        takes=() if step.takes is None else _takes(*step.takes, context.names),
        timed=TimeFields(missed=resolve(step.missed, context.names)) if step.missed else None,
        after=tuple(context.marks.get(name, name) for name in step.after),
        optional=step.optional,
    )


def _place(part: str, context: Context) -> PartPlace:
    return PartPlace(part=part, label=context.names.labels.get(part, part), place=context.places[part])


def _expected(expected: tuple[Expectation, ...], context: Context, named: frozenset[str]) -> tuple[ExpectLine, ...]:
    return tuple(line for one in expected for line in expect_lines(one, context.names, named))


def _otherwise(other: Otherwise, context: Context) -> IfNotLine:
    if other.step is not None:
        return IfNotLine(
            text=(TextRun(context.say("Go to step {mark}.", mark=context.marks.get(other.step, other.step))),),
            step=other.step,
        )
    if other.card is not None:
        return IfNotLine(text=_use_card(other.card, context), card=other.card)
    return IfNotLine(text=resolve(other.words, context.names))


def _use_card(card: str, context: Context) -> SheetText:
    return (TextRun(context.say("Use card “{title}”.", title=context.cards.get(card, card))),)


def _outcome(outcome: Outcome, context: Context) -> OutcomeBranch:
    leads: SheetText = ()
    if outcome.card is not None:
        leads = _use_card(outcome.card, context)
    elif outcome.end:
        leads = (TextRun(context.say("The card ends here.")),)
    elif not outcome.body:
        leads = (TextRun(context.say("Go on.")),)
    return OutcomeBranch(
        label=outcome.label,
        items=build_items(outcome.body, context),
        leads=leads,
        card=outcome.card,
        end=outcome.end,
    )


def _warning(warn: Warn, names: Names) -> WarningBox:
    return WarningBox(
        signal=names.language.say("card", signal_word(Severity[warn.severity.upper()], Certainty.COULD)),
        severity=warn.severity,
        hazard=resolve(warn.hazard, names),
        consequence=resolve(warn.consequence, names),
        avoidance=resolve(warn.avoidance, names),
    )


def _takes(low: Quantity, high: Quantity, names: Names) -> SheetText:
    if low == high:
        return (FigureRun(names.language.number(str(low))),)
    first = f"{low.value:f}" if low.unit == high.unit else str(low)
    return (FigureRun(names.language.number(names.say("{low} to {high}", low=first, high=str(high)))),)
