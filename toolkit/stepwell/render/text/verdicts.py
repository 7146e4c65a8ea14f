"""The verdicts on one procedure as a table, worst first, in words that do not claim more than was
searched."""

from __future__ import annotations

from stepwell.render.text.look import Look
from stepwell.render.text.wrap import pad, wrap
from stepwell.report.results import Orders, ProcedureReport, Status, Verdict

WORDS = {
    Status.VIOLATED: "UNSAFE ORDER",
    Status.NOT_DECIDED: "NOT DECIDED",
    Status.HOLDS: "none found",
    Status.NOT_APPLICABLE: "no matter here",
}
WAIVED = "WAIVED UNSAFE"
_PAINT = {
    Status.VIOLATED: "bad",
    Status.NOT_DECIDED: "doubt",
    Status.HOLDS: "good",
    Status.NOT_APPLICABLE: "faint",
}
_RANK = {Status.VIOLATED: 0, Status.NOT_DECIDED: 1, Status.HOLDS: 2, Status.NOT_APPLICABLE: 3}


def verdict_lines(report: ProcedureReport, look: Look) -> tuple[str, ...]:
    """The head of a procedure and its table. Rules that do not apply are counted, not listed."""
    out = [look.paint(line, "strong") for line in wrap(f"{report.procedure}: {report.title}", look.width, "", "  ")]
    out += wrap(_searched(report), look.width, "  ")
    if not report.checked:
        return tuple(out)
    apply = [verdict for verdict in report.verdicts if verdict.status is not Status.NOT_APPLICABLE]
    if apply:
        out += ["", look.paint(f"  {pad('Unsafe order?', 14)}  Rule", "faint")]
    ordered = sorted(apply, key=lambda entry: (_RANK[entry.status], -entry.severity, entry.code))
    alone = [verdict for verdict in ordered if not _hangs_on_a_step(verdict)]
    for verdict in ordered:
        if verdict not in alone:
            out += _row(verdict, look)
    if alone:
        names = ", ".join(f"{verdict.rule} ({verdict.code})" for verdict in alone)
        said = f"None found either, though no omission or move of a single step was found that would break it: {names}."
        out += wrap(said, look.width, "  ", "    ")
    out += _shown_by_order(apply, look)
    out += _why_not_decided(apply, look)
    silent = len(report.verdicts) - len(apply)
    if silent:
        noun = "rule does" if silent == 1 else "rules do"
        out += wrap(f"{silent} more {noun} not apply: what they look at never occurs here.", look.width, "  ")
    return tuple(out)


def _hangs_on_a_step(verdict: Verdict) -> bool:
    """False for a rule that holds, but of which no single step was found to be what holds it."""
    return verdict.status is not Status.HOLDS or verdict.bites is None or verdict.bites.step is not None


def _row(verdict: Verdict, look: Look) -> tuple[str, ...]:
    word = WAIVED if verdict.waiver is not None else WORDS[verdict.status]
    lead = f"  {pad(word, 14)}  "
    lines = list(wrap(f"{verdict.code} {verdict.title}", look.width, lead))
    lines[0] = "  " + look.paint(word, _PAINT[verdict.status]) + lines[0][2 + len(word) :]
    return tuple(lines)


def _shown_by_order(verdicts: list[Verdict], look: Look) -> tuple[str, ...]:
    """The rules that hold although not all orders were searched: why that may be said."""
    codes = [verdict.code for verdict in verdicts if verdict.status is Status.HOLDS and not verdict.searched]
    if not codes:
        return ()
    said = "Shown without the search, because what would break it can't come together in any permitted order"
    return wrap(f"{said}: {', '.join(codes)}.", look.width, "  ", "    ")


def _why_not_decided(verdicts: list[Verdict], look: Look) -> tuple[str, ...]:
    """Each reason once, with the codes that it is about, however many rules share it."""
    shared: dict[str, list[str]] = {}
    for verdict in verdicts:
        if verdict.status is Status.NOT_DECIDED and verdict.bound is not None:
            bound = verdict.bound
            covered = f"{bound.states:,} states seen; every order of up to {bound.length} actions covered"
            shared.setdefault(f"{bound.reason} ({covered})", []).append(verdict.code)
    lines: list[str] = []
    for reason, codes in shared.items():
        lines += wrap(f"Not decided: {', '.join(codes)}: {reason}.", look.width, "  ")
    return tuple(lines)


def orders_words(orders: Orders) -> str:
    """How many orders, in words: ``1 order``, ``1,200 orders``, ``at least 10^18 orders``."""
    number = f"{orders.number:,}" if orders.number < 10**12 else f"about {orders.number:.1e}"
    noun = "order" if orders.number == 1 else "orders"
    return f"{number} {noun}" if orders.exact else f"at least {number} {noun}"


def _searched(report: ProcedureReport) -> str:
    if not report.checked:
        return "Wording only: no step says what is done in the tool's terms, so its order was NOT CHECKED."
    parts: list[str] = []
    if report.orders is not None:
        extent = "all of them searched" if report.complete else "not all of them searched"
        if report.orders.exact and report.orders.number == 1:
            extent = "searched" if report.complete else "not searched to the end"
        parts.append(f"{orders_words(report.orders)} permitted, {extent} ({report.states:,} states).")
    first = next(iter(report.verdicts), None)
    if first is not None and first.rig:
        seen = "NOT INSPECTED at a real set"
        if first.inspected:
            seen = f"inspected {first.inspected.isoformat()}"
        parts.append(f"Rig {first.rig} {first.rig_version}, {seen}.")
    return " ".join(parts) or "Nothing to search."
