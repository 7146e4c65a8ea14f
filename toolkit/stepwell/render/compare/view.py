"""What a comparison says, in the order in which a committee must read it: what is weaker first, never the order of files."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from stepwell.compare.edits import Edit, Sort
from stepwell.compare.results import Card, Comparison, OrderChange, SlipChange, Turn, VerdictChange
from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.render.compare.digest import digest_of

NOTICE = (
    "These verdicts are about the model: the rig file and the listed actions. Not a medical device; does not replace the"
    " maker's instructions, local policy or licensed judgement. Figures are the unit's. Comments in files are not compared."
)
SORT_WORDS = {
    Sort.ADDED: "added",
    Sort.REMOVED: "REMOVED",
    Sort.MOVED: "moved",
    Sort.REWORDED: "reworded",
    Sort.CHANGED: "changed",
    Sort.SPLIT: "written as two",
    Sort.MERGED: "two put into one",
    Sort.WRAPPED: "new frame around what was there",
    Sort.UNWRAPPED: "frame taken away, what was in it stays",
    Sort.REIDENTIFIED: "ids minted anew",
}


FIELD_WORDS = {
    "say": "what is read aloud",
    "do": "action",
    "expect": "check",
    "if-not": "what to do if not",
    "confirm": "confirmation",
    "who": "who does it",
    "until": "what it waits for",
    "agree": "who agrees",
    "abort": "how to abort",
    "warn": "warning",
    "why": "reason",
    "takes": "time it takes",
    "missed": "what to do when late",
    "after": "must wait for",
    "optional": "may be left out",
    "form": "order",
    "shape": "what it looks for",
    "when": "only when",
    "at-most": "most rounds",
}
"""Fields as people call them; any other field by its own name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One change with its number, to read and to tick."""

    number: int
    place: str
    head: str
    old: str
    new: str
    why: tuple[str, ...]
    notes: tuple[str, ...]
    edit: Edit


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One consequence."""

    text: str
    worse: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A part of the page. ``bad`` sections stand out; never by colour alone."""

    title: str
    items: tuple[Item, ...] = ()
    rows: tuple[Row, ...] = ()
    bad: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """The page. ``answer`` says whether anything is weaker, ``digest`` what follows.

    ``count`` says how many changes there are and are shown.
    """

    title: str
    count: str
    answer: str
    digest: str
    weaker: bool
    sections: tuple[Section, ...]
    shown: int


def view_of(found: Comparison) -> View:
    """The view of a comparison. Every edit is an item of exactly one section."""
    titles = dict(found.titles)
    items = [_item(number, edit, titles) for number, edit in enumerate(found.edits, 1)]
    meaning = found.meaning
    worse = _worse(found, titles)
    weaker = tuple(item for item in items if item.why)
    wording = tuple(item for item in items if not item.why and item.edit.sort in (Sort.REWORDED, Sort.REIDENTIFIED))
    other = tuple(item for item in items if not item.why and item not in wording)
    sections = (
        Section(
            title="Not explained: do not approve",
            rows=tuple(Row(text=one, worse=True) for one in found.undisclosed),
            bad=True,
        ),
        Section(title="Weaker: a safeguard is less than before", items=weaker, bad=True),
        Section(title="Worse in what follows", rows=worse, bad=True),
        Section(title="Orders", rows=_orders(meaning.orders, titles)),
        Section(title="Other changes", items=other),
        Section(title="Words and names", items=wording),
        Section(title="Better in what follows", rows=_better(found, titles)),
        Section(title="Rules that begin or cease to have anything to look at", rows=_idle(found, titles)),
        Section(title="Time, people, figures", rows=_shifts(found, titles)),
        Section(title="Cards to re-print; take the old prints down", rows=_cards(found)),
        Section(title="What was compared", rows=_scope(found)),
    )
    kept = tuple(section for section in sections if section.items or section.rows)
    shown = sum(len(section.items) for section in kept)
    return View(
        title=f"Comparison: {found.old} → {found.new}",
        count=f"{_many(len(found.edits), 'change')}, {shown} shown.",
        answer=_answer(found),
        digest=digest_of(found),
        weaker=found.anything_weaker,
        sections=kept,
        shown=shown,
    )


def _item(number: int, edit: Edit, titles: Mapping[str, str]) -> Item:
    notes = tuple(f"changes with it: {_where(place, titles)}" for place in edit.reaches)
    if edit.others and edit.sort is Sort.MOVED:
        notes = (*notes, f"with it: {', '.join(edit.others)}")
    about = edit.subject or edit.document.partition(" ")[0]
    field = f", {FIELD_WORDS.get(edit.field, edit.field)}" if edit.field else ""
    return Item(
        number=number,
        place=_where(edit.document, titles),
        head=f"{about}{field}: {SORT_WORDS[edit.sort]}",
        old=edit.old,
        new=edit.new,
        why=edit.weaker,
        notes=(*notes, *(f"| {line}" for line in edit.lines)),
        edit=edit,
    )


def _where(document: str, titles: Mapping[str, str]) -> str:
    """``procedure shift-check: ...`` with the title in the place of kind and id."""
    whole, colon, rest = document.partition(": ")
    kind, _, name = whole.partition(" ")
    said = titles.get(name, "") if kind in ("procedure", "rig") else ""
    head = f"{said} ({name})" if said else {"unit": "the unit", "tool": "the tool"}.get(kind, whole)
    return f"{head}{colon}{rest}"


def _answer(found: Comparison) -> str:
    meaning = found.meaning
    told: list[str] = []
    if found.undisclosed:
        told.append(f"{_many(len(found.undisclosed), 'document')} NOT EXPLAINED by the changes shown")
    if found.weaker:
        told.append(
            f"{_many(len(found.weaker), 'change')} that {'takes' if len(found.weaker) == 1 else 'take'} a safeguard away"
        )
    worse = [one.new for one in meaning.verdicts if one.worse]
    for status, words in (("violated", "newly violated"), ("not decided", "no longer decided"), (None, "no longer judged")):
        if number := worse.count(status):
            codes = ", ".join(dict.fromkeys(one.code for one in meaning.verdicts if one.worse and one.new == status))
            told.append(f"{_many(number, 'verdict')} {words}{f' ({codes})' if number < 4 else ''}")
    if meaning.findings_new:
        told.append(f"{_many(len(meaning.findings_new), 'new finding')}")
    slips = sum(one.worse for one in meaning.slips)
    if slips:
        told.append(f"{_many(slips, 'slip')} newly silent")
    if not told and found.anything_weaker:
        told.append("a figure is worse")
    if told:
        return "Is anything weaker? YES: " + ", ".join(told) + "."
    if not found.edits:
        return "Is anything weaker? No: there is no change of content."
    limits = "" if meaning.slips_compared else " (slips were not compared)"
    return f"Is anything weaker? Not as far as the model can tell{limits}. Words can weaken too: read them."


def _worse(found: Comparison, titles: Mapping[str, str]) -> tuple[Row, ...]:
    meaning = found.meaning
    lost = [one for one in meaning.verdicts if one.worse and one.new == "not decided"]
    rows = [_verdict(one, titles) for one in meaning.verdicts if one.worse and one not in lost]
    for name in dict.fromkeys(one.procedure for one in lost):
        some = [one for one in lost if one.procedure == name]
        codes = ", ".join(f"{one.code}{' (fatal)' if one.severity is Severity.FATAL else ''}" for one in some)
        text = f"{_named(name, titles)}: {_many(len(some), 'rule')} NO LONGER DECIDED: {codes}"
        rows.append(Row(text=text, worse=True))
    for name in meaning.unsafe:
        text = f"{_named(name, titles)}: slips can't be compared, for the procedure itself now does harm"
        rows.append(Row(text=text, worse=True))
    rows += [Row(text=f"New finding, {_finding(one, titles)}", worse=True) for one in meaning.findings_new]
    rows += _slip_rows([one for one in meaning.slips if one.worse], titles)
    rows += [
        Row(text=f"{_named(one.about, titles)}: {one.what}: {one.old} → {one.new}", worse=True)
        for one in meaning.shifts
        if one.worse
    ]
    return tuple(rows)


def _better(found: Comparison, titles: Mapping[str, str]) -> tuple[Row, ...]:
    meaning = found.meaning
    rows = [_verdict(one, titles) for one in meaning.verdicts if not one.worse and _IDLE not in (one.old, one.new)]
    rows += [Row(text=f"No longer found, {_finding(one, titles)}") for one in meaning.findings_cured]
    rows += _slip_rows([one for one in meaning.slips if not one.worse], titles)
    return tuple(rows)


_IDLE = "not applicable"


def _idle(found: Comparison, titles: Mapping[str, str]) -> tuple[Row, ...]:
    return tuple(_verdict(one, titles) for one in found.meaning.verdicts if not one.worse and _IDLE in (one.old, one.new))


def _verdict(one: VerdictChange, titles: Mapping[str, str]) -> Row:
    said = f"{one.old or 'no verdict'} → {(one.new or 'no verdict').upper() if one.worse else one.new}"
    return Row(
        text=f"{_named(one.procedure, titles)}: {one.title} ({one.code}, {one.severity.word}): {said}", worse=one.worse
    )


def _finding(one: Finding, titles: Mapping[str, str]) -> str:
    where = f", step {one.step}" if one.step else ""
    return f"{_named(one.procedure or '', titles)}{where}: {one.message} [{one.code} {one.rule}]"


def _slip_rows(slips: list[SlipChange], titles: Mapping[str, str]) -> list[Row]:
    """One row per step: its slips, the fatal ones first."""
    by_step: dict[tuple[str, str], list[SlipChange]] = {}
    for one in slips:
        by_step.setdefault((one.procedure, one.step_name), []).append(one)
    rows: list[Row] = []
    for (procedure, step), some in by_step.items():
        told = [_slip(one) for one in some]
        head = "Slip newly silent" if some[0].worse else "Slip no longer silent"
        rows.append(Row(text=f"{head}, {_named(procedure, titles)}, {step}: {'; '.join(told)}", worse=some[0].worse))
    return rows


def _slip(one: SlipChange) -> str:
    grave = "FATAL, " if one.fatal else ""
    return f"{one.sort} ({grave}{one.old or 'no such slip before'} → {one.new}; {one.rule or 'no rule'})"


_TURN_WORDS = {
    Turn.REVERSED: "order turned round: {0} was always before {1}; now {1} is always first",
    Turn.FREED: "order no longer fixed: {0} was always before {1}; now either may come first",
    Turn.BOUND: "order newly fixed: {0} now always before {1}",
}


_REST_WORDS = {
    (Turn.REVERSED, True): "{0} was before, and now comes after: {1}",
    (Turn.REVERSED, False): "{0} was after, and now comes before: {1}",
    (Turn.FREED, True): "{0} need no longer come before: {1}",
    (Turn.FREED, False): "{0} need no longer come after: {1}",
    (Turn.BOUND, True): "{0} must now come before: {1}",
    (Turn.BOUND, False): "{0} must now come after: {1}",
}


def _grouped(turn: Turn, orders: list[OrderChange]) -> list[str]:
    """Pairs told by the step that has most of them, so that one step that moved is one line."""
    told: list[str] = []
    while orders:
        ends = Counter([(one.first_name, True) for one in orders] + [(one.then_name, False) for one in orders])
        step, first = max(ends, key=lambda end: ends[end])
        mine = [one for one in orders if (one.first_name if first else one.then_name) == step]
        others = [one.then_name if first else one.first_name for one in mine]
        told.append(_REST_WORDS[turn, first].format(step, ", ".join(others)))
        orders = [one for one in orders if one not in mine]
    return told


_MOST_TURNED = 4
"""Turned pairs are shown one by one up to this number, whether they touch a common part or not."""


def _orders(orders: tuple[OrderChange, ...], titles: Mapping[str, str]) -> tuple[Row, ...]:
    rows: list[Row] = []
    turned = [one for one in orders if one.turn is Turn.REVERSED]
    shown = [one for one in orders if one.matters or (one.turn is Turn.REVERSED and len(turned) <= _MOST_TURNED)]
    for one in orders:
        if one in shown:
            why = f"both touch {', '.join(one.parts)}" if one.parts else ""
            both = ", ".join(filter(None, (why, "both critical" if one.critical else "")))
            said = _TURN_WORDS[one.turn].format(one.first_name, one.then_name)
            rows.append(Row(text=f"{_named(one.procedure, titles)}: {said}{f' ({both})' if both else ''}"))
    for turn in Turn:
        for name in dict.fromkeys(one.procedure for one in orders):
            rest = [one for one in orders if one.turn is turn and one.procedure == name and one not in shown]
            rows += [Row(text=f"{_named(name, titles)}: {text}") for text in _grouped(turn, rest)]
    return tuple(rows)


def _shifts(found: Comparison, titles: Mapping[str, str]) -> tuple[Row, ...]:
    return tuple(
        Row(text=f"{_named(one.about, titles)}: {one.what}: {one.old} → {one.new}")
        for one in found.meaning.shifts
        if not one.worse
    )


def _cards(found: Comparison) -> tuple[Row, ...]:
    rows = tuple(_card(card) for card in found.cards)
    if not found.laid_out_anew:
        return rows
    anew = "Every card: laid out anew by another tool or layout."
    kept = "Released PDFs stay as they are, byte for byte; a print that says the same may stay where it hangs."
    return (*rows, Row(text=f"{anew} {kept}"))


def _card(card: Card) -> Row:
    name = f"{card.title} ({card.procedure})"
    hangs = f"; hangs: {', '.join(card.hangs)}" if card.hangs else ""
    if card.language:
        left = "; some of it is missing or not confirmed, so it is a draft" if card.drafts else ""
        return Row(text=f"{name}, in the language {card.language}: what is printed differs{left}{hangs}")
    if card.new is None:
        also = f", also in {_and(card.also)}" if card.also else ""
        return Row(text=f"{name}: WITHDRAWN, version {card.old}{also}{hangs}", worse=True)
    hangs = f"{_languages(card)}{hangs}"
    if card.old is None:
        return Row(text=f"{name}: new, version {card.new}{hangs}")
    if card.same_version:
        return Row(text=f"{name}: STILL version {card.new}, though what is printed differs; raise it{hangs}", worse=True)
    return Row(text=f"{name}: version {card.old} → {card.new}{hangs}")


def _languages(card: Card) -> str:
    """Which prints there are of it besides the English one."""
    also = f"; agreed to and printed in {_and(('en', *card.also))}" if card.also else ""
    drafts = f"; a draft in {_and(card.drafts)}, where some of it is missing or not confirmed" if card.drafts else ""
    return also + drafts


def _and(codes: tuple[str, ...]) -> str:
    return " and ".join(filter(None, (", ".join(codes[:-1]), codes[-1])))


def _scope(found: Comparison) -> tuple[Row, ...]:
    meaning = found.meaning
    rows = [Row(text=f"As of {found.as_of.isoformat()}.")]
    names = ", ".join(meaning.compared) or "none"
    rows.append(Row(text=f"Every order searched on both sides: {names}."))
    if meaning.slips_compared:
        told = ", ".join(meaning.slips_of) or "none"
        but = ", but for those that are said above not to be comparable" if meaning.unsafe else ""
        rest = f"in the others nothing changed that slips hang on{but}"
        rows.append(Row(text=f"Slips searched on both sides: {told}; {rest}."))
    else:
        rows.append(Row(text="Slips were NOT compared."))
    old, new = found.rules
    same = f"by the same rules ({new})" if old == new else f"by different rules ({old} → {new})"
    rows.append(Row(text=f"Judged {same}."))
    if found.tools[0]:
        made = f"with the same tool ({found.tools[0]})" if found.tools[0] == found.tools[1] else f"{' → '.join(found.tools)}"
        rows.append(Row(text=f"Made {made}; of the older side as its last release says."))
    else:
        rows.append(
            Row(text="The tool and its layout were not compared: the older side has no release that says with which.")
        )
    rows += [Row(text=f"Not read: {one}", worse=True) for one in found.unread]
    return tuple(rows)


def _named(name: str, titles: Mapping[str, str]) -> str:
    return titles.get(name, name)


def _many(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
