"""Verdicts and findings in words for a committee. They never claim more than a search of the model can show.

The frame of what is said follows the language of the page; the templates say the texts of the rules in it. What a finding
says and an order step by step are in English alone; the page marks them as that.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial

from stepwell.diagnostics.finding import Finding, Related
from stepwell.diagnostics.trace import Trace, TraceLine
from stepwell.model.language import ENGLISH, MARK, Language
from stepwell.render.site.bites_words import bites_words
from stepwell.render.site.drawn import Figure
from stepwell.report.results import Bites, Orders, ProcedureReport, Status, Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldTrace:
    """An order to lay out, with its heading."""

    heading: str
    lines: tuple[TraceLine, ...]
    circuit: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldFinding:
    """A finding to lay out."""

    signal: str
    code: str
    place: str
    message: str
    mend: str
    related: tuple[str, ...]
    trace: ToldTrace | None
    rule_href: str = ""
    rule_title: str = ""
    figure: Figure | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldVerdict:
    """A verdict that is not a violation."""

    title: str
    sentence: str
    words: str
    href: str
    bites: str = ""
    bites_english: bool = False
    bites_at: str = ""
    trace: ToldTrace | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """Everything the page of one procedure's check says."""

    bad: bool
    headline: str
    limits: str
    in_english: bool
    """Something on the page stands in English alone."""
    violated: tuple[ToldFinding, ...] = ()
    undecided: tuple[ToldVerdict, ...] = ()
    holds: tuple[ToldVerdict, ...] = ()
    silent: tuple[ToldVerdict, ...] = ()
    others: tuple[ToldFinding, ...] = ()


def count(number: int, one: str, many: str = "") -> str:
    """``1 order``, ``1,234 orders``."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def grouped(number: int, language: Language) -> str:
    """A whole number with its thousands set apart: ``1,234``, in German ``1.234``."""
    told = f"{number:,}"
    return told if language.english else told.replace(",", language.words.get(("number", ","), ","))


def orders_words(orders: Orders, language: Language = ENGLISH) -> str:
    """How many orders were permitted."""
    say, number = partial(language.say, "site"), orders.number
    if number < 10**9:
        told = say("1 order") if number == 1 else say("{number} orders", number=grouped(number, language))
    else:
        told = say("about {number} orders", number=f"{number:.0e}")
    return told if orders.exact else say("at least {number}", number=told)


def verdict_words(verdict: Verdict, language: Language = ENGLISH) -> str:
    """One verdict as a sentence."""
    say = partial(language.say, "site")
    match verdict.status:
        case Status.HOLDS if not verdict.searched:
            known = say("Not all orders were searched, but what would break it can’t come together in any of them.")
            return f"{known} " + say("That is shown by what must come before what.")
        case Status.HOLDS:
            orders = orders_words(verdict.orders, language)
            return say("No unsafe order found in the model (complete search of {orders}).", orders=orders)
        case Status.VIOLATED:
            waived = verdict.finding.waived if verdict.finding else ""
            if waived and language.english:
                return f"An unsafe order was found. It is waived by {waived}"
            if waived:
                return say("An unsafe order was found. It is waived; the page about the check says by whom and why.")
            return say("An unsafe order was found.")
        case Status.NOT_APPLICABLE:
            return say("Does not apply: what it looks at never occurs here.")
        case Status.NOT_DECIDED:
            if verdict.bound is None:
                return say("Not decided.")
            bound = verdict.bound
            reason = bound.reason if language.english else f"{MARK}{bound.reason}"
            states, length = grouped(bound.states, language), _actions(bound.length, language)
            return f"{say('Not decided: {reason}.', reason=reason)} " + say(
                "States seen: {states}; every order of up to {length} was searched. This is not a sign of safety.",
                states=states,
                length=length,
            )


def _actions(number: int, language: Language) -> str:
    say = partial(language.say, "site")
    return say("1 action") if number == 1 else say("{number} actions", number=grouped(number, language))


def tell(
    report: ProcedureReport | None,
    marks: Mapping[str, str],
    figures: Mapping[Finding, Figure] | None = None,
    language: Language = ENGLISH,
) -> Told:
    """The check of one procedure. ``marks`` are the printed numbers of its lines by step id; ``figures`` the drawings
    of the moments that findings are about."""
    drawn, say = figures or {}, partial(language.say, "site")
    if report is None or not report.checked:
        found = report.findings if report else ()
        return Told(
            bad=True,
            in_english=bool(found),
            headline=say("The order of this procedure was not checked."),
            limits=say("No step says what is done in terms of the circuit, so there is nothing to search."),
            others=tuple(tell_finding(finding, marks, drawn, language=language) for finding in found),
        )
    by = {status: [v for v in report.verdicts if v.status is status] for status in Status}
    shown = [verdict.finding for verdict in by[Status.VIOLATED] if verdict.finding]
    holds = tuple(_told(verdict, marks, language) for verdict in by[Status.HOLDS])
    return Told(
        bad=bool(by[Status.VIOLATED] or by[Status.NOT_DECIDED] or report.against),
        in_english=bool(report.findings)
        or any(one.bites_english or one.trace for one in holds)
        or not all(language.knows("rule", text) for verdict in report.verdicts for text in _texts(verdict)),
        headline=_headline(report, by[Status.VIOLATED], len(by[Status.NOT_DECIDED]), language),
        limits=_limits(report, language),
        violated=tuple(_violated(verdict, marks, drawn, language) for verdict in by[Status.VIOLATED]),
        undecided=tuple(_told(verdict, marks, language) for verdict in by[Status.NOT_DECIDED]),
        holds=holds,
        silent=tuple(_told(verdict, marks, language) for verdict in by[Status.NOT_APPLICABLE]),
        others=tuple(
            tell_finding(finding, marks, drawn, language=language) for finding in report.findings if finding not in shown
        ),
    )


def tell_finding(
    finding: Finding,
    marks: Mapping[str, str],
    figures: Mapping[Finding, Figure],
    verdict: Verdict | None = None,
    language: Language = ENGLISH,
) -> ToldFinding:
    """A finding with its trace."""
    return ToldFinding(
        signal=language.say("card", finding.signal).capitalize(),
        code=finding.code,
        place=_place(finding, marks, language),
        message=finding.message[:1].upper() + finding.message[1:],
        mend=finding.mend,
        related=(
            *((f"Waived by {finding.waived}",) if finding.waived else ()),
            *(_related(other, marks) for other in finding.related),
        ),
        trace=tell_trace(finding.trace, language) if finding.trace else None,
        rule_href=f"../rules/{verdict.rule}.html" if verdict else "",
        rule_title=verdict.title if verdict else "",
        figure=figures.get(finding),
    )


def tell_trace(trace: Trace, language: Language = ENGLISH) -> ToldTrace:
    """An order with the heading that says how short it is known to be."""
    say = partial(language.say, "site")
    if not trace.lines:
        heading = say("This is so from the start, before anything is done.")
    elif len(trace.lines) == 1:
        heading = say("It takes one action:")
    else:
        size = grouped(len(trace.lines), language)
        heading = (
            say("The shortest order that leads there ({number} actions):", number=size)
            if trace.shortest
            else say("An order that leads there, maybe not the shortest ({number} actions):", number=size)
        )
    return ToldTrace(heading=heading, lines=trace.lines, circuit=trace.circuit)


def _headline(report: ProcedureReport, broken: list[Verdict], undecided: int, language: Language) -> str:
    say, others = partial(language.say, "site"), len(report.against)
    more = ""
    if others:
        more = say("1 other fault must be mended; see below.")
        if others > 1:
            more = say("{number} other faults must be mended; see below.", number=grouped(others, language))
        more = f" {more}"
    if broken:
        waived = sum(verdict.waiver is not None for verdict in broken)
        number = grouped(len(broken), language)
        rules = say("1 rule is broken") if len(broken) == 1 else say("{number} rules are broken", number=number)
        known = say(", {number} of them waived", number=grouped(waived, language)) if waived else ""
        said = say("Unsafe orders were found: {rules}.", rules=rules + known)
        return said + (" " + say("Rules not decided: {number}.", number=str(undecided)) if undecided else "")
    if undecided:
        return say("Not decided for {number}; the reasons stand below.", number=_rules(undecided, language)) + more
    if more:
        return say("No rule is broken, and yet the order can’t be used as it stands.") + more
    if report.orders is None:
        return say("No unsafe order found in the model (complete search).")
    orders = orders_words(report.orders, language)
    return say("No unsafe order found in the model (complete search of {orders}).", orders=orders)


def _rules(number: int, language: Language) -> str:
    say = partial(language.say, "site")
    return say("1 rule") if number == 1 else say("{number} rules", number=grouped(number, language))


def _limits(report: ProcedureReport, language: Language) -> str:
    say = partial(language.say, "site")
    said = say("This is about a model of the circuit, not about a patient. The set’s file says what is modelled.")
    first = next(iter(report.verdicts), None)
    if first is None or not first.rig:
        return said
    seen = say("not inspected at a real set")
    if first.inspected:
        seen = say("inspected at a real set on {day}", day=language.day(first.inspected))
    return f"{said} " + say("Set: {set}, {seen}.", set=f"{first.rig} {first.rig_version}", seen=seen)


def _violated(
    verdict: Verdict, marks: Mapping[str, str], figures: Mapping[Finding, Figure], language: Language
) -> ToldFinding:
    if verdict.finding is not None:
        return tell_finding(verdict.finding, marks, figures, verdict, language)
    return ToldFinding(
        signal=language.say("site", verdict.severity.word.capitalize()),
        code=verdict.code,
        place="",
        message=verdict.title,
        mend="",
        related=(),
        trace=None,
        rule_href=f"../rules/{verdict.rule}.html",
        rule_title=verdict.title,
    )


def _texts(verdict: Verdict) -> tuple[str, ...]:
    """What is shown of the rule."""
    return (verdict.title,) if verdict.status is Status.NOT_APPLICABLE else (verdict.title, verdict.sentence)


def _told(verdict: Verdict, marks: Mapping[str, str], language: Language) -> ToldVerdict:
    bites = verdict.bites if verdict.status is Status.HOLDS else None
    told, said = bites_words(bites, marks, language) if bites else ("", True)
    return ToldVerdict(
        title=verdict.title,
        sentence=verdict.sentence,
        words=verdict_words(verdict, language),
        href=f"../rules/{verdict.rule}.html",
        bites=told,
        bites_english=not said,
        bites_at=_bites_at(bites, marks, language) if bites else "",
        trace=tell_trace(bites.trace, language) if bites and bites.trace else None,
    )


def _bites_at(bites: Bites, marks: Mapping[str, str], language: Language) -> str:
    if bites.step is None:
        return ""
    return language.say("site", "What would break it (step {mark}):", mark=marks.get(bites.step, bites.step))


def _place(finding: Finding, marks: Mapping[str, str], language: Language) -> str:
    if finding.step is not None:
        return language.say("site", "step {mark}", mark=marks.get(finding.step, finding.step))
    return str(finding.span) if finding.span else ""


def _related(other: Related, marks: Mapping[str, str]) -> str:
    return f"Step {marks.get(other.step, other.step)}: {other.message}" if other.step else other.message
