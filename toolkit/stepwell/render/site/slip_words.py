"""What single slips lead to, in words for a committee: which slip at which step, which harm, who notices, who answers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import partial

from stepwell.diagnostics.severity import Severity
from stepwell.model.language import Language
from stepwell.model.rig import Rig
from stepwell.model.rule import Rule
from stepwell.model.slip import Sort
from stepwell.publish.sheet import HoldBar, Items, LanesBlock, QuestionBlock, Sheet, lines_of, spoken
from stepwell.render.site.environment import unbroken
from stepwell.render.site.paths import slug
from stepwell.slips.answers import Answers, How
from stepwell.slips.results import Outcome, Slip, SlipReport


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldSlip:
    """One slip. ``mark`` is the printed number of its step, ``text`` the step's words; ``besides`` are the titles of other
    fatal rules; ``waivers`` are in English, as the unit wrote them."""

    step: str
    mark: str
    text: str
    wrong: str
    where: str
    noticed: str
    besides: tuple[str, ...] = ()
    answer: str = ""
    waivers: tuple[str, ...] = ()
    open: bool = False
    """Fatal, and nothing answers for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldHarm:
    """One harm with the slips that lead to it unnoticed. Title and harm are the rule's, in English."""

    title: str
    harm: str
    href: str
    severity: str
    slips: tuple[ToldSlip, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldStep:
    """Everything that was tried at one step: (sorts of slip, what comes of them)."""

    step: str
    mark: str
    text: str
    lines: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldSlips:
    """Everything that the page of one procedure's slips says. ``bad``: something is open or not decided."""

    bad: bool
    headline: str
    more: tuple[str, ...]
    fatal: tuple[ToldHarm, ...] = ()
    other: tuple[ToldHarm, ...] = ()
    undecided: tuple[ToldSlip, ...] = ()
    steps: tuple[ToldStep, ...] = ()
    harmless: str = ""
    """The steps at which no slip does harm, as a sentence; they are not among ``steps``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipRow:
    """One procedure in the list of all."""

    title: str
    href: str
    headline: str
    more: tuple[str, ...]
    bad: bool


def headline(answers: Iterable[Answers], language: Language) -> tuple[str, tuple[str, ...], bool]:
    """The count of fatal slips, what answers for them and what was not decided, and whether anything is left open."""
    say, every = partial(language.say, "site"), tuple(answers)
    silent, fatal = sum(one.report.fatal_silent for one in every), sum(one.report.fatal_total for one in every)
    undecided = sum(one.report.undecided for one in every)
    waived, leaning, unanswered = (sum(one.count(how) for one in every) for how in (How.WAIVED, How.CONFIRMED, How.NOTHING))
    more = []
    if silent:
        more.append(say("Waived by name: {count}.", count=str(waived)))
        more.append(say("Leaning on a second person who confirms: {count}.", count=str(leaning)))
        more.append(say("Not answered for: {count}.", count=str(unanswered)))
    if undecided:
        more.append(
            say("Slips not decided: {count}. The search was stopped; that is no sign of safety.", count=str(undecided))
        )
    said = say("Fatal slips that nothing in the model catches: {silent} of {fatal}.", silent=str(silent), fatal=str(fatal))
    return said, tuple(more), bool(unanswered or undecided)


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipTeller:
    """Tells the slips of one procedure. ``marks`` are the printed numbers of its lines; ``rig`` and ``labels`` are the set
    in English, as the search saw it, and the labels of its parts in the language of the page."""

    answers: Answers
    sheet: Sheet
    marks: Mapping[str, str]
    rules: Mapping[str, Rule]
    rig: Rig | None
    labels: Mapping[str, str]
    language: Language

    @property
    def report(self) -> SlipReport:
        """What was searched."""
        return self.answers.report

    def tell(self) -> ToldSlips:
        """Everything."""
        said, more, is_open = headline((self.answers,), self.language)
        silent = [slip for slip in self.report.slips if slip.outcome is Outcome.SILENT]
        texts = {line.id: unbroken(line.text) for line in lines_of(self.sheet.items)}
        told = tuple(dict.fromkeys(slip.step for slip in self.report.slips))
        harmful = {slip.step for slip in self.report.slips if slip.outcome is not Outcome.HARMLESS or slip.misses_end}
        harmless = tuple(step for step in told if step not in harmful)
        say, marks = partial(self.language.say, "site"), ", ".join(self.marks.get(step, step) for step in harmless)
        return ToldSlips(
            bad=is_open or bool(self.answers.findings),
            headline=said,
            more=more,
            fatal=self._harms([slip for slip in silent if slip.fatal_silent], texts),
            other=self._harms([slip for slip in silent if not slip.fatal_silent], texts),
            undecided=tuple(self._slip(slip, texts) for slip in self.report.slips if slip.outcome is Outcome.UNDECIDED),
            steps=tuple(self._step(step, texts) for step in told if step not in harmless),
            harmless=say("Steps at which no slip does harm in the model: {marks}.", marks=marks) if harmless else "",
        )

    def _harms(self, slips: list[Slip], texts: Mapping[str, str]) -> tuple[ToldHarm, ...]:
        by: dict[str, list[Slip]] = {}
        for slip in sorted(slips, key=lambda one: -(one.severity or 0)):
            by.setdefault(slip.rule or "", []).append(slip)
        told = []
        for name, mine in by.items():
            rule = self.rules.get(name)
            told.append(
                ToldHarm(
                    title=rule.title if rule else name,
                    harm=rule.harm if rule else "",
                    href=f"../rules/{slug(name)}.html" if rule else "",
                    severity=self._severity(mine[0].severity),
                    slips=tuple(self._slip(slip, texts) for slip in mine),
                )
            )
        return tuple(told)

    def _severity(self, severity: Severity | None) -> str:
        say = partial(self.language.say, "site")
        match severity:
            case Severity.FATAL:
                return say("Fatal")
            case Severity.SERIOUS:
                return say("Serious")
        return say("Minor")

    def _slip(self, slip: Slip, texts: Mapping[str, str]) -> ToldSlip:
        say = partial(self.language.say, "site")
        answer = self.answers.answer(slip)
        said = ""
        if answer is not None and answer.how is How.CONFIRMED:
            marks = ", ".join(self.marks.get(step, step) for step in slip.confirmed_by)
            said = say("Only the second person who confirms step {marks} would notice it.", marks=marks)
        elif answer is not None and answer.how is How.NOTHING:
            said = say("Nobody has answered for it.")
        noticed = say("Nothing in the model notices it.")
        if slip.outcome is Outcome.UNDECIDED:
            noticed = say("Not decided: the search was stopped before its end.")
        elif slip.cut_short:
            noticed = say("Nothing in the model notices it. The search was stopped before its end, so there may be worse.")
        others = [rule for rule in slip.harms if rule != slip.rule]
        return ToldSlip(
            step=slip.step,
            mark=self.marks.get(slip.step, slip.step),
            text=texts.get(slip.step, ""),
            wrong=self._wrong(slip),
            where=self._harm_place(slip) if slip.outcome is Outcome.SILENT else "",
            noticed=noticed,
            besides=tuple(self.rules[name].title if name in self.rules else name for name in others),
            answer=said,
            waivers=answer.waivers if answer else (),
            open=answer is not None and answer.how is How.NOTHING,
        )

    def _wrong(self, slip: Slip) -> str:
        say = partial(self.language.say, "site")
        match slip.sort:
            case Sort.OMITTED:
                return say("left out")
            case Sort.EARLY:
                return say("done too early, {how}", how=self._early(slip.detail))
            case Sort.TWICE:
                return say("done twice")
            case Sort.LOOK_ALIKE:
                return say("done to {parts}", parts=self._parts(slip.detail))
            case Sort.UNCHECKED:
                return say("its check skipped")

    def _early(self, detail: str) -> str:
        say = partial(self.language.say, "site")
        match detail:
            case "one place up the page":
                return say("one place up the page")
            case "at the start of its stage":
                return say("at the start of its stage")
        return detail if self.language.english else self.language.say("site", detail)

    def _parts(self, detail: str) -> str:
        """The mistaken part and the right one, under the labels of the page's language."""
        if self.language.english or self.rig is None:
            return detail
        right = {part.label: part.id for part in self.rig.parts}
        for label, wrong in right.items():
            meant = detail.removeprefix(f"{label} instead of ")
            if meant != detail and meant in right:
                return self.language.say(
                    "site",
                    "{wrong} instead of {right}",
                    wrong=self.labels.get(wrong, label),
                    right=self.labels.get(right[meant], meant),
                )
        return self.language.say("site", detail)

    def _harm_place(self, slip: Slip) -> str:
        say = partial(self.language.say, "site")
        if slip.where is None:
            return say("The harm comes at the end of the card.")
        return self._at(slip.where, "The harm comes at step {mark}.", "The harm comes at the hold “{title}”.")

    def _at(self, where: str, step: str, hold: str) -> str:
        """A sentence about a place: ``step`` where that is a numbered line, ``hold`` where it is a hold."""
        if where in self.marks:
            return self.language.say("site", step, mark=self.marks[where])
        title = _hold_titles(self.sheet.items).get(where, where)
        return self.language.say("site", hold, title=title)

    def _step(self, step: str, texts: Mapping[str, str]) -> ToldStep:
        by: dict[str, list[str]] = {}
        for slip in self.report.slips:
            if slip.step == step:
                by.setdefault(self._outcome(slip), []).append(self._sort(slip.sort))
        lines = ((_capital(", ".join(sorts)), result) for result, sorts in by.items())
        return ToldStep(step=step, mark=self.marks.get(step, step), text=texts.get(step, ""), lines=tuple(lines))

    def _sort(self, sort: Sort) -> str:
        say = partial(self.language.say, "site")
        match sort:
            case Sort.OMITTED:
                return say("left out")
            case Sort.EARLY:
                return say("too early")
            case Sort.TWICE:
                return say("twice")
            case Sort.LOOK_ALIKE:
                return say("on a part that looks alike")
            case Sort.UNCHECKED:
                return say("its check skipped")

    def _outcome(self, slip: Slip) -> str:
        say = partial(self.language.say, "site")
        fatal = say("Would be fatal.") + " " if slip.fatal and slip.outcome is not Outcome.SILENT else ""
        match slip.outcome:
            case Outcome.HARMLESS:
                if slip.misses_end:
                    return say("No rule is broken, but what the card ends with is not reached, and nobody is told.")
                return say("No harm in the model.")
            case Outcome.STOPPED:
                place = slip.where or ""
                return fatal + self._at(place, "Noticed: step {mark} can’t be done.", "Noticed at the hold “{title}”.")
            case Outcome.CAUGHT:
                return fatal + self._at(slip.where or "", "Noticed at step {mark}.", "Noticed at the hold “{title}”.")
            case Outcome.ONLY_CATCH:
                return say("No harm by itself, but nothing else notices some other slip.")
            case Outcome.UNDECIDED:
                return say("Not decided: the search was stopped before its end.")
            case Outcome.SILENT:
                return say("{severity} harm, and nothing notices it: see above.", severity=self._severity(slip.severity))


def _hold_titles(items: Items) -> dict[str, str]:
    """The titles of the holds by their ids."""
    found: dict[str, str] = {}
    for item in items:
        match item:
            case HoldBar():
                found[item.id] = spoken(item.title)
            case LanesBlock(lanes=lanes):
                for lane in lanes:
                    found |= _hold_titles(lane.items)
            case QuestionBlock(outcomes=outcomes):
                for outcome in outcomes:
                    found |= _hold_titles(outcome.items)
            case _:
                found |= _hold_titles(getattr(item, "items", ()))
    return found


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
