"""Verdicts and findings in words for a committee. They never claim more than a search of the model can show."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from stepwell.diagnostics.finding import Finding, Related
from stepwell.diagnostics.trace import Trace, TraceLine
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
    trace: ToldTrace | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """Everything the page of one procedure's check says."""

    bad: bool
    headline: str
    limits: str
    violated: tuple[ToldFinding, ...] = ()
    undecided: tuple[ToldVerdict, ...] = ()
    holds: tuple[ToldVerdict, ...] = ()
    silent: tuple[ToldVerdict, ...] = ()
    others: tuple[ToldFinding, ...] = ()


def count(number: int, one: str, many: str = "") -> str:
    """``1 order``, ``1,234 orders``."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def orders_words(orders: Orders) -> str:
    """How many orders were permitted."""
    number = count(orders.number, "order") if orders.number < 10**9 else f"about {orders.number:.0e} orders"
    return number if orders.exact else f"at least {number}"


def verdict_words(verdict: Verdict) -> str:
    """One verdict as a sentence."""
    match verdict.status:
        case Status.HOLDS if not verdict.searched:
            return (
                "Not all orders were searched, but what would break it can’t come together in any of them: that is shown "
                "by what must come before what."
            )
        case Status.HOLDS:
            return f"No unsafe order found in the model (complete search of {orders_words(verdict.orders)})."
        case Status.VIOLATED:
            waived = verdict.finding.waived if verdict.finding else ""
            return f"An unsafe order was found. It is waived by {waived}" if waived else "An unsafe order was found."
        case Status.NOT_APPLICABLE:
            return "Does not apply: what it looks at never occurs here."
        case Status.NOT_DECIDED:
            if verdict.bound is None:
                return "Not decided."
            bound = verdict.bound
            return (
                f"Not decided: {bound.reason}. {count(bound.states, 'state')} seen; every order of up to "
                f"{count(bound.length, 'action')} was searched. This is not a sign of safety."
            )


def tell(report: ProcedureReport | None, marks: Mapping[str, str], figures: Mapping[Finding, Figure] | None = None) -> Told:
    """The check of one procedure. ``marks`` are the printed numbers of its lines by step id; ``figures`` the drawings
    of the moments that findings are about."""
    drawn = figures or {}
    if report is None or not report.checked:
        return Told(
            bad=True,
            headline="The order of this procedure was not checked.",
            limits="No step says what is done in terms of the circuit, so there is nothing to search.",
            others=tuple(tell_finding(finding, marks, drawn) for finding in (report.findings if report else ())),
        )
    by = {status: [v for v in report.verdicts if v.status is status] for status in Status}
    shown = [verdict.finding for verdict in by[Status.VIOLATED] if verdict.finding]
    return Told(
        bad=bool(by[Status.VIOLATED] or by[Status.NOT_DECIDED] or report.against),
        headline=_headline(report, by[Status.VIOLATED], len(by[Status.NOT_DECIDED])),
        limits=_limits(report),
        violated=tuple(_violated(verdict, marks, drawn) for verdict in by[Status.VIOLATED]),
        undecided=tuple(_told(verdict, marks) for verdict in by[Status.NOT_DECIDED]),
        holds=tuple(_told(verdict, marks) for verdict in by[Status.HOLDS]),
        silent=tuple(_told(verdict, marks) for verdict in by[Status.NOT_APPLICABLE]),
        others=tuple(tell_finding(finding, marks, drawn) for finding in report.findings if finding not in shown),
    )


def tell_finding(
    finding: Finding, marks: Mapping[str, str], figures: Mapping[Finding, Figure], verdict: Verdict | None = None
) -> ToldFinding:
    """A finding with its trace."""
    return ToldFinding(
        signal=finding.signal.capitalize(),
        code=finding.code,
        place=_place(finding, marks),
        message=finding.message[:1].upper() + finding.message[1:],
        mend=finding.mend,
        related=(
            *((f"Waived by {finding.waived}",) if finding.waived else ()),
            *(_related(other, marks) for other in finding.related),
        ),
        trace=tell_trace(finding.trace) if finding.trace else None,
        rule_href=f"../rules/{verdict.rule}.html" if verdict else "",
        rule_title=verdict.title if verdict else "",
        figure=figures.get(finding),
    )


def tell_trace(trace: Trace) -> ToldTrace:
    """An order with the heading that says how short it is known to be."""
    if not trace.lines:
        heading = "This is so from the start, before anything is done."
    elif len(trace.lines) == 1:
        heading = "It takes one action:"
    else:
        size = count(len(trace.lines), "action")
        known = (
            "The shortest order that leads there" if trace.shortest else "An order that leads there, maybe not the shortest"
        )
        heading = f"{known} ({size}):"
    return ToldTrace(heading=heading, lines=trace.lines, circuit=trace.circuit)


def _headline(report: ProcedureReport, broken: list[Verdict], undecided: int) -> str:
    if broken:
        violated, waived = len(broken), sum(verdict.waiver is not None for verdict in broken)
        more = f" {count(undecided, 'rule is', 'rules are')} not decided." if undecided else ""
        known = f", {waived} of them waived" if waived else ""
        return f"Unsafe orders were found: {count(violated, 'rule is', 'rules are')} broken{known}.{more}"
    more = f" {count(len(report.against), 'other fault')} must be mended; see below." if report.against else ""
    if undecided:
        return f"Not decided for {count(undecided, 'rule')}; the reasons stand below.{more}"
    if more:
        return f"No rule is broken, and yet the order can't be used as it stands.{more}"
    if report.orders is None:
        return "No unsafe order found in the model (complete search)."
    return f"No unsafe order found in the model (complete search of {orders_words(report.orders)})."


def _limits(report: ProcedureReport) -> str:
    said = "This is about a model of the circuit, not about a patient. The set's file says what is modelled."
    first = next(iter(report.verdicts), None)
    if first is None or not first.rig:
        return said
    seen = f"inspected at a real set on {first.inspected.isoformat()}" if first.inspected else "not inspected at a real set"
    return f"{said} Set: {first.rig} {first.rig_version}, {seen}."


def _violated(verdict: Verdict, marks: Mapping[str, str], figures: Mapping[Finding, Figure]) -> ToldFinding:
    if verdict.finding is not None:
        return tell_finding(verdict.finding, marks, figures, verdict)
    return ToldFinding(
        signal=verdict.severity.word.capitalize(),
        code=verdict.code,
        place="",
        message=verdict.title,
        mend="",
        related=(),
        trace=None,
        rule_href=f"../rules/{verdict.rule}.html",
        rule_title=verdict.title,
    )


def _told(verdict: Verdict, marks: Mapping[str, str]) -> ToldVerdict:
    bites = verdict.bites if verdict.status is Status.HOLDS else None
    return ToldVerdict(
        title=verdict.title,
        sentence=verdict.sentence,
        words=verdict_words(verdict),
        href=f"../rules/{verdict.rule}.html",
        bites=_bites(bites, marks) if bites else "",
        trace=tell_trace(bites.trace) if bites and bites.trace else None,
    )


def _bites(bites: Bites, marks: Mapping[str, str]) -> str:
    if bites.step is None:
        return bites.statement
    return f"What would break it (step {marks.get(bites.step, bites.step)}): {bites.statement}"


def _place(finding: Finding, marks: Mapping[str, str]) -> str:
    if finding.step is not None:
        return f"step {marks.get(finding.step, finding.step)}"
    return str(finding.span) if finding.span else ""


def _related(other: Related, marks: Mapping[str, str]) -> str:
    return f"Step {marks.get(other.step, other.step)}: {other.message}" if other.step else other.message
