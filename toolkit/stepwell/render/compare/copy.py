"""The new text of a card in full, as it will read, for the committee. From the same sheet as the card itself.

Nothing of the text is marked. Beside a line stand the numbers of the changes that touch it, so that a tick can be
given with the whole card in sight.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from stepwell.compare.results import Comparison
from stepwell.model.language import Language
from stepwell.publish.canonical import Plain, plain_data
from stepwell.publish.sheet import (
    AnyOrderBlock,
    ExpectLine,
    FigureRun,
    HoldBar,
    Items,
    LanesBlock,
    MeetLine,
    QuestionBlock,
    RepeatBlock,
    Sheet,
    SheetItem,
    SheetText,
    StageBlock,
    StepLine,
    TextRun,
    spoken,
)
from stepwell.source.read_fixed_words import fixed_words

Told = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Touched:
    """Numbers of the changes: by the new id of a step (empty: of no step), and by the number or part that a text names."""

    steps: Mapping[str, Sequence[int]]
    words: Mapping[str, Sequence[int]]

    def at(self, step: str, *texts: SheetText) -> tuple[int, ...]:
        """Those that touch a line with these texts."""
        named = {
            f"number:{run.number}" if isinstance(run, FigureRun) else f"part:{run.part}"
            for text in texts
            for run in text
            if not isinstance(run, TextRun)
        }
        found = {*self.steps.get(step, ()), *(number for word in named for number in self.words.get(word, ()))}
        return tuple(sorted(found))


@dataclass(frozen=True, slots=True, kw_only=True)
class Telling:
    """What a copy is told with: the changes that touch it, and the language of its sheet for what stands beside its
    texts."""

    touched: Touched
    language: Language

    def at(self, step: str, *texts: SheetText) -> tuple[int, ...]:
        """The numbers of the changes that touch a line."""
        return self.touched.at(step, *texts)

    def say(self, english: str, **slots: str) -> str:
        """Words as they stand on a card."""
        return self.language.say("card", english, **slots)

    def label(self, english: str) -> str:
        """The same without the colon that they have there."""
        return self.say(english).removesuffix(":")

    def both(self, names: Iterable[str]) -> str:
        """Names with "and" between them."""
        return f" {self.say('and')} ".join(names)


@dataclass(frozen=True, slots=True, kw_only=True)
class CopyLine:
    """One line. ``sort`` is head, step, hold, question, answer or note; ``mark`` its number on the card.

    ``details`` are (what it is, words); ``changes`` the numbers of the changes that touch it.
    """

    sort: str
    depth: int
    text: str
    mark: str = ""
    who: str = ""
    details: Told = ()
    changes: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Copy:
    """A card in full. ``changes`` are the numbers of those that touch the card but no line of it."""

    name: str
    title: str
    head: Told
    lines: tuple[CopyLine, ...]
    foot: Told
    changes: tuple[int, ...] = ()


def copies_of(found: Comparison, sheets: Iterable[Sheet]) -> tuple[Copy, ...]:
    """The cards of the new side whose print differs or of which anything changed; first those that were edited."""
    edited = {edit.document.partition(" ")[2] for edit in found.edits if edit.kind == "procedure"}
    wanted = {(name, "") for name in edited}
    changed = [card for card in found.cards if card.new is not None]
    # What is released in another language is agreed to as well, so it is there to be read.
    wanted |= {(card.procedure, code) for card in changed for code in (card.language, *card.also)}
    chosen = sorted(
        (sheet for sheet in sheets if (sheet.id, _foreign(sheet)) in wanted), key=lambda one: one.id not in edited
    )
    return tuple(_copy(sheet, _touched(found, sheet)) for sheet in chosen)


def _touched(found: Comparison, sheet: Sheet) -> Touched:
    now = dict(dict(found.steps).get(sheet.id, ()))
    here = set(_ids(plain_data(sheet))) if _foreign(sheet) else set()
    by_step: dict[str, list[int]] = defaultdict(list)
    by_word: dict[str, list[int]] = defaultdict(list)
    for number, edit in enumerate(found.edits, 1):
        if edit.document == f"procedure {sheet.id}":
            for step in dict.fromkeys(now.get(one, one) for one in edit.steps or ("",)):
                by_step[step].append(number)
        elif edit.kind == "unit" or edit.document == f"rig {sheet.rig.id}":
            by_word[edit.item].append(number)
        elif edit.kind == "translation" and edit.document.endswith(f"/{sheet.language}.po"):
            # An entry is named by the step, or by the sort and id of what it belongs to, and then by its English.
            sort, colon, name = re.split(r": | \(", edit.item.removeprefix("translation-entry:"))[0].partition(":")
            if not colon and sort in here:
                by_step[sort].append(number)
            elif sort == "part":
                by_word[f"part:{name}"].append(number)
            elif (sort, name) == ("procedure", sheet.id):
                by_step[""].append(number)
    return Touched(steps=by_step, words=by_word)


def _ids(value: Plain) -> Iterator[str]:
    """The ids of all that stands on a sheet."""
    if isinstance(value, dict):
        yield str(value.get("id", ""))
    for inner in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from _ids(inner)


def _foreign(sheet: Sheet) -> str:
    return "" if sheet.language == "en" else sheet.language


def full_copy(sheet: Sheet) -> Copy:
    """A card in full where nothing is compared."""
    return _copy(sheet, Touched(steps={}, words={}))


def _copy(sheet: Sheet, touched: Touched) -> Copy:
    given = Telling(touched=touched, language=fixed_words(sheet.language))
    site = partial(given.language.say, "site")
    fewest = given.say("at least {count}", count=str(sheet.fewest_people))
    lines = tuple(_lines(sheet.items, 0, given))
    placed = {number for line in lines for number in line.changes}
    head = (
        (given.label("Use when:"), spoken(sheet.use_when)),
        (given.label("Do not use when:"), spoken(sheet.do_not_use_when)),
        (given.say("How"), sheet.use),
        (site("People"), ", ".join(f"{role.label} ({role.mark})" for role in sheet.people) + f"; {fewest}"),
        (given.label("Start from:"), _joined(sheet.starts)),
        (given.say("Take care"), _joined(sheet.cautions)),
        (given.say("Kit"), "; ".join(_kit(item.name, item.amount, item.place) for item in sheet.kit)),
    )
    foot = (
        (given.label("At the end:"), _joined(sheet.ends)),
        (given.label("Call out:"), spoken(sheet.done_call)),
        (site("Sources"), " ".join(sheet.sources)),
        (site("Set"), f"{sheet.rig.title} {sheet.rig.version}"),
        (site("Code"), sheet.short_hash),
    )
    return Copy(
        name=f"{sheet.id} {sheet.version}" + (f", {sheet.language}" if _foreign(sheet) else ""),
        title=sheet.title,
        head=_filled(head),
        lines=lines,
        foot=_filled(foot),
        changes=tuple(
            sorted({*given.at("", *_around(sheet)), *(n for some in given.touched.steps.values() for n in some)} - placed)
        ),
    )


def _around(sheet: Sheet) -> tuple[SheetText, ...]:
    """The texts of a card that stand in no line."""
    return (sheet.use_when, sheet.do_not_use_when, sheet.done_call, *sheet.cautions, *sheet.starts, *sheet.ends)


def _filled(told: Told) -> Told:
    return tuple((what, words) for what, words in told if words)


def _joined(texts: Iterable[SheetText]) -> str:
    return "; ".join(spoken(text) for text in texts)


def _kit(name: str, amount: str, place: str) -> str:
    many = "" if amount == "1" else f" × {amount}" if amount.isdigit() else f", {amount}"
    return f"{name}{many}{f', {place}' if place else ''}"


def _lines(items: Items, depth: int, given: Telling) -> Iterator[CopyLine]:
    for item in items:
        yield from _item(item, depth, given)


def _item(item: SheetItem, depth: int, given: Telling) -> Iterator[CopyLine]:
    match item:
        case StepLine():
            yield _step(item, depth, given)
        case HoldBar():
            yield _hold(item, depth, given)
        case MeetLine():
            waits = f"{given.say('Wait here for')} {given.both(role.label for role in item.roles)}: {item.name}"
            yield CopyLine(sort="note", depth=depth, text=waits, changes=given.at(item.id))
        case StageBlock():
            yield CopyLine(sort="head", depth=depth, text=item.title)
            yield from _lines(item.items, depth + 1, given)
        case AnyOrderBlock():
            yield CopyLine(sort="head", depth=depth, text=f"{item.title} {given.say('(any order)')}")
            yield from _lines(item.items, depth + 1, given)
        case LanesBlock():
            yield CopyLine(sort="head", depth=depth, text=f"{item.title} {given.say('(at the same time)')}")
            for lane in item.lanes:
                yield CopyLine(sort="head", depth=depth + 1, text=f"{lane.role.label} ({lane.role.mark})")
                yield from _lines(lane.items, depth + 2, given)
            done = given.say("when {roles} are done.", roles=given.both(lane.role.label for lane in item.lanes))
            yield CopyLine(sort="note", depth=depth, text=f"{given.say('Go on together')} {done}")
        case RepeatBlock():
            head = given.say("Repeat: {title}", title=item.title)
            yield CopyLine(sort="head", depth=depth, text=head, changes=given.at(item.id, item.until))
            times = given.say("At most {times}.", times=given.say("{count} times", count=str(item.at_most)))
            until = f"{given.say('Stop when')} {spoken(item.until)}. {times}"
            yield CopyLine(sort="note", depth=depth + 1, text=until)
            yield from _lines(item.items, depth + 1, given)
        case QuestionBlock():
            yield from _question(item, depth, given)


def _question(item: QuestionBlock, depth: int, given: Telling) -> Iterator[CopyLine]:
    yield CopyLine(
        sort="question",
        depth=depth,
        text=spoken(item.text),
        mark=item.mark,
        who=item.role.mark,
        changes=given.at(item.id, item.text),
    )
    for outcome in item.outcomes:
        leads = spoken(outcome.leads)
        yield CopyLine(
            sort="answer", depth=depth + 1, text=f"{outcome.label}: {leads}".rstrip(": ") if leads else outcome.label
        )
        yield from _lines(outcome.items, depth + 2, given)


def _step(step: StepLine, depth: int, given: Telling) -> CopyLine:
    warned = tuple(
        (given.say(box.signal), " ".join(spoken(text) for text in (box.hazard, box.consequence, box.avoidance) if text))
        for box in step.warnings
    )
    told = (
        *warned,
        (given.say("Expect"), _expected(step.expect)),
        (given.label("Confirm:"), step.confirm.label if step.confirm else ""),
        (given.label("Where:"), "; ".join(f"{place.label}, {place.place}" for place in step.places)),
        (given.label("After:"), given.say("step {marks}", marks=", ".join(step.after)) if step.after else ""),
        (given.label("If not:"), spoken(step.if_not.text) if step.if_not else ""),
        (given.say("Takes"), spoken(step.takes)),
        (given.label("If late:"), spoken(step.timed.missed) if step.timed else ""),
        (given.label("Because:"), spoken(step.why)),
    )
    texts = (step.text, step.why, step.takes, *(line.text for line in step.expect))
    changes = given.at(step.id, *texts, *((step.if_not.text,) if step.if_not else ()))
    text = f"{given.say('(If wanted)') + ' ' if step.optional else ''}{spoken(step.text)}"
    return CopyLine(
        sort="step", depth=depth, text=text, mark=step.mark, who=step.role.mark, details=_filled(told), changes=changes
    )


def _hold(hold: HoldBar, depth: int, given: Telling) -> CopyLine:
    told = (
        (given.language.say("site", "Until"), _expected(hold.until)),
        (given.label("Agrees:" if len(hold.agree) == 1 else "All agree:"), ", ".join(role.label for role in hold.agree)),
        (given.label("If not, abort:"), spoken(hold.abort)),
    )
    changes = given.at(hold.id, hold.title, hold.abort, *(line.text for line in hold.until))
    text = f"{given.say('HOLD')}: {spoken(hold.title)}"
    return CopyLine(sort="hold", depth=depth, text=text, details=_filled(told), changes=changes)


def _expected(lines: Iterable[ExpectLine]) -> str:
    return "; ".join(spoken(line.text) for line in lines)
