"""Rules that only the laid-out page can answer for (SW401 to SW404, SW406)."""

from __future__ import annotations

from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.publish.sheet import Sheet
from stepwell.render.cards.facts import Layout
from stepwell.render.cards.fonts import FontFacts
from stepwell.render.cards.paper import A4, Paper
from stepwell.render.cards.sizes import PREFERRED_ARC, Sizes, cap_mm, seen_cap_mm


def page_findings(sheet: Sheet, layout: Layout, sizes: Sizes, font: FontFacts, paper: Paper = A4) -> tuple[Finding, ...]:
    """Everything that the layout has to answer for, in the order of the page."""
    return (
        *_too_long(sheet, layout, paper),
        *_split(sheet, layout),
        *_parted(sheet, layout),
        *_too_wide(sheet, layout),
        *_too_small(sheet, sizes, font),
    )


def _too_long(sheet: Sheet, layout: Layout, paper: Paper) -> tuple[Finding, ...]:
    """An emergency card is one side (McIntosh 2018; King 2018; abstracts seen)."""
    if sheet.kind != "emergency" or layout.pages == 1:
        return ()
    return (
        Finding(
            rule="emergency-card-not-one-side",
            code="SW401",
            severity=Severity.SERIOUS,
            message=f"The emergency card needs {layout.pages} sides of {paper.said} even in the smallest permitted type.",
            mend="Shorten it, or move what is not needed in the first minutes to a card of its own.",
            procedure=sheet.id,
        ),
    )


def _split(sheet: Sheet, layout: Layout) -> tuple[Finding, ...]:
    """No step is split across pages (NUREG-0899; HSG48 list; as quoted)."""
    names = {"step": "step", "hold": "hold", "question": "question"}
    return tuple(
        Finding(
            rule="step-split-over-pages",
            code="SW402",
            severity=Severity.SERIOUS,
            message=f"This {word} begins on page {start.page} and ends on page {end.page}.",
            mend="Make it shorter: it does not fit on one page.",
            procedure=sheet.id,
            step=start.id,
        )
        for sort, word in names.items()
        for start, end in layout.split(sort)
    )


def _parted(sheet: Sheet, layout: Layout) -> tuple[Finding, ...]:
    """A warning stands directly above its step, on the same page (NUREG-0899, as quoted)."""
    starts = {m.id: m.page for m in layout.marks if m.sort == "step" and m.at == "start"}
    lines = {m.id: m.page for m in layout.marks if m.sort == "line"}
    return tuple(
        Finding(
            rule="warning-parted-from-step",
            code="SW403",
            severity=Severity.SERIOUS,
            message=f"The warning is on page {starts[name]}, its step on page {page}.",
            mend="Shorten the warning so that it fits on the page with its step.",
            procedure=sheet.id,
            step=name,
        )
        for name, page in lines.items()
        if starts.get(name, page) != page
    )


def _too_small(sheet: Sheet, sizes: Sizes, font: FontFacts) -> tuple[Finding, ...]:
    """20 minutes of arc is preferred (NUREG-0700 1.3.1-4, as quoted); the least, 16, is never undercut."""
    wanted, seen = cap_mm(PREFERRED_ARC, sheet.reading_distance_mm), seen_cap_mm(sizes.main, font)
    if seen > wanted - 0.02:
        return ()
    return (
        Finding(
            rule="type-below-preferred-size",
            code="SW404",
            severity=Severity.MINOR,
            message=(
                f"To stay on one side the lines are set with capitals of {seen:.1f} mm; "
                f"{wanted:.1f} mm is preferred at {sheet.reading_distance_mm / 10:g} cm."
            ),
            mend="Shorten the card; seven lines are easier to find one's place in than twelve.",
            procedure=sheet.id,
        ),
    )


def _too_wide(sheet: Sheet, layout: Layout) -> tuple[Finding, ...]:
    """Everything stays in its column (no source: what runs over the tick box can't be read)."""
    names = dict.fromkeys(mark.id for mark in layout.marks if mark.sort == "wide")
    return tuple(
        Finding(
            rule="word-wider-than-its-line",
            code="SW406",
            severity=Severity.SERIOUS,
            message="A word of this step, or a value with its unit, is wider than its line and runs over the tick box.",
            mend="Use a shorter word or label.",
            procedure=sheet.id,
            step=name,
        )
        for name in names
    )
