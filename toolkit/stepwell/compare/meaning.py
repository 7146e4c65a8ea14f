"""What edits lead to: verdicts, findings, orders, slips, times, people, volumes; and the whole comparison."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from stepwell.compare.between import Between, Files, edits_between
from stepwell.compare.edits import Edit, Sort
from stepwell.compare.relations import order_changes
from stepwell.compare.results import Card, Comparison, Meaning, OrderChange, Shift, SlipChange, VerdictChange
from stepwell.compare.times import times_of
from stepwell.compare.tool import Tool
from stepwell.compare.tree import content
from stepwell.diagnostics.finding import Finding
from stepwell.model.procedure import Procedure, steps_of
from stepwell.model.rig import Rig
from stepwell.model.workspace import Workspace
from stepwell.quantities.tubing import tubing_volume
from stepwell.quantities.units import UnitMismatchError, to
from stepwell.report.results import ProcedureReport, Status, Verdict
from stepwell.slips.results import Outcome, SlipReport

Checked = Mapping[str, ProcedureReport]
Slipped = Mapping[str, SlipReport]
Hashes = Mapping[str, str]

_RANK = {Status.HOLDS: 3, Status.NOT_APPLICABLE: 2, Status.NOT_DECIDED: 1, Status.VIOLATED: 0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One version: the unit, and per procedure its check, its slips and the hash of its card, as far as they are known."""

    name: str
    workspace: Workspace
    files: Files = ()
    checked: Checked
    slips: Slipped
    hashes: Hashes
    unread: tuple[str, ...] = ()
    translated: Mapping[str, Hashes] = field(default_factory=dict)
    """By language, the hash of each card that is printed in it."""
    whole: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """By language, the cards of which nothing stands in English in it."""
    tool: Tool | None = None
    """What its cards are made with, where that is known."""


def affected(between: Between, old: Workspace, new: Workspace) -> tuple[frozenset[str], frozenset[str]]:
    """(old ids, new ids) of the procedures whose verdicts may have changed: those that have to be checked on both sides."""
    kinds = {edit.kind for edit in between.edits}
    if kinds & {"rule", "setting"} or any(edit.field.startswith("policy") for edit in between.edits):
        return frozenset(one.id for one in old.procedures), frozenset(one.id for one in new.procedures)
    named = {document for edit in between.edits for document, _ in edit.ops} | {edit.document for edit in between.edits}
    rigs = {name.removeprefix("rig ") for name in named if name.startswith("rig ")}
    pairs = dict(between.procedures)
    touched_old = {one.id for one in old.procedures if f"procedure {one.id}" in named or one.rig in rigs}
    touched_new = {one.id for one in new.procedures if one.rig in rigs or one.id not in pairs.values()}
    touched_new |= {pairs[name] for name in touched_old if name in pairs}
    back = {there: here for here, there in pairs.items()}
    touched_old |= {back[name] for name in touched_new if name in back}
    return _with_heirs(touched_old, old), _with_heirs(touched_new, new)


def _with_heirs(touched: set[str], workspace: Workspace) -> frozenset[str]:
    """With the procedures that start where these end."""
    while True:
        more = {
            one.id
            for one in workspace.procedures
            if one.starts is not None and one.starts.procedure in touched and one.id not in touched
        }
        if not more:
            return frozenset(touched)
        touched |= more


def compare(old: Side, new: Side, *, as_of: date, between: Between | None = None, slips: bool = True) -> Comparison:
    """The whole comparison. What either side has not checked is not compared, and ``Meaning.compared`` says so."""
    found = between or edits_between(old.workspace, new.workspace, (old.files, new.files), (old.tool, new.tool))
    meaning = _meaning(old, new, found, slips)
    titles = {one.id: one.title for one in (*old.workspace.rigs, *new.workspace.rigs)}
    titles |= {one.id: one.title for one in (*old.workspace.procedures, *new.workspace.procedures)}
    return Comparison(
        old=old.name,
        new=new.name,
        as_of=as_of,
        edits=safety_order(found.edits),
        meaning=meaning,
        cards=_cards(old, new, dict(found.procedures)),
        undisclosed=found.undisclosed,
        unread=(*old.unread, *new.unread),
        titles=tuple(sorted(titles.items())),
        rules=(rules_hash(old.workspace), rules_hash(new.workspace)),
        steps=found.steps,
        tools=(old.tool.version if old.tool else "", new.tool.version if new.tool else ""),
    )


def rules_hash(workspace: Workspace) -> str:
    """A short hash of everything that the rules say."""
    return hashlib.sha256(repr(content(workspace.rules)).encode()).hexdigest()[:12]


_ORDER = {
    Sort.REMOVED: 0,
    Sort.CHANGED: 1,
    Sort.ADDED: 2,
    Sort.MERGED: 3,
    Sort.SPLIT: 3,
    Sort.MOVED: 4,
    Sort.UNWRAPPED: 5,
    Sort.WRAPPED: 5,
    Sort.REWORDED: 6,
    Sort.REIDENTIFIED: 7,
}
_KINDS = {"rule": 0, "waiver": 0, "policy": 1, "procedure": 2, "rig": 3, "unit": 4}


def safety_order(edits: Iterable[Edit]) -> tuple[Edit, ...]:
    """Every weakening first, wording and ids last; within these by document, and there by what the sort of change can do."""

    def key(one: Edit) -> tuple[bool, bool, int, str, int]:
        words = one.sort in (Sort.REWORDED, Sort.REIDENTIFIED)
        return (not one.weaker, words, _KINDS.get(one.kind, 5), one.document, _ORDER[one.sort])

    return tuple(sorted(edits, key=key))


def _meaning(old: Side, new: Side, between: Between, with_slips: bool) -> Meaning:
    pairs = dict(between.procedures)
    ids = {name: dict(found) for name, found in between.steps}
    before = {one.id: one for one in old.workspace.procedures}
    after = {one.id: one for one in new.workspace.procedures}
    back = {there: here for here, there in pairs.items()}
    verdicts: list[VerdictChange] = []
    fresh: list[Finding] = []
    cured: list[Finding] = []
    orders: list[OrderChange] = []
    slips: list[SlipChange] = []
    shifts: list[Shift] = []
    unsafe: list[str] = []
    for name in sorted(new.checked.keys() | {pairs.get(one, one) for one in old.checked}):
        one, two = old.checked.get(back.get(name, name)), new.checked.get(name)
        verdicts += _verdicts(name, one, two)
        known = ids.get(name) or {step.id: step.id for step in steps_of(after[name].body)} if name in after else {}
        gone, come = _findings(one, two, known)
        cured += gone
        fresh += come
        shifts += _orders_of(name, one, two)
        here, there = old.slips.get(back.get(name, name)), new.slips.get(name)
        broken = newly_broken(one, two)
        if with_slips and broken:
            unsafe.append(name)
        elif with_slips:
            slips += _slips(name, here, there, known, after.get(name))
            shifts += _fatal(name, here, there)
    for name, found in ids.items():
        here_body, there_body = before[back[name]], after[name]
        rig = next((rig for rig in new.workspace.rigs if rig.id == there_body.rig), None)
        labels = {part.id: part.label for part in rig.parts} if rig else {}
        critical = frozenset(new.slips[name].critical) if name in new.slips else frozenset()
        if back[name] in old.slips:
            critical |= {found.get(step, step) for step in old.slips[back[name]].critical}
        orders += order_changes(here_body, there_body, found, labels, critical)
        shifts += _people_and_time(here_body, there_body, new.workspace)
    shifts += _volumes(old.workspace, new.workspace)
    return Meaning(
        verdicts=tuple(sorted(verdicts, key=lambda one: (not one.worse, -one.severity, one.procedure, one.code))),
        findings_new=tuple(fresh),
        findings_cured=tuple(cured),
        orders=tuple(orders),
        slips=tuple(sorted(slips, key=lambda one: (not one.worse, not one.fatal, one.procedure))),
        shifts=tuple(sorted(shifts, key=lambda one: not one.worse)),
        compared=tuple(sorted(set(new.checked) & {pairs.get(one, one) for one in old.checked})),
        slips_compared=with_slips,
        unsafe=tuple(unsafe),
        slips_of=tuple(sorted(new.slips)) if with_slips else (),
    )


def newly_broken(old: ProcedureReport | None, new: ProcedureReport | None) -> bool:
    """Whether a rule is violated that was not: a slip can't be laid to a person then, the procedure itself does the harm."""
    before = {one.rule for one in (old.verdicts if old else ()) if one.status is Status.VIOLATED}
    return any(one.status is Status.VIOLATED and one.rule not in before for one in (new.verdicts if new else ()))


def _verdicts(name: str, old: ProcedureReport | None, new: ProcedureReport | None) -> list[VerdictChange]:
    """What changed rule by rule; a procedure that is new or gone brings only its verdicts that are not fine."""
    before = {one.rule: one for one in old.verdicts} if old else {}
    after = {one.rule: one for one in new.verdicts} if new else {}
    found: list[VerdictChange] = []
    for rule in (*after, *(rule for rule in before if rule not in after)):
        one, two = before.get(rule), after.get(rule)
        if (one and one.status) == (two and two.status) or (new is None and one is not None):
            continue
        if old is None and two is not None and two.status in (Status.HOLDS, Status.NOT_APPLICABLE):
            continue
        some = two or one
        assert some is not None
        found.append(_verdict_change(name, some, one, two))
    return found


def _verdict_change(name: str, some: Verdict, old: Verdict | None, new: Verdict | None) -> VerdictChange:
    lost = old is not None and new is None
    worse = lost or (new is not None and _RANK[new.status] < (_RANK[old.status] if old is not None else 2))
    return VerdictChange(
        procedure=name,
        rule=some.rule,
        code=some.code,
        title=some.title,
        severity=some.severity,
        old=None if old is None else old.status.value,
        new=None if new is None else new.status.value,
        worse=worse and not (old is not None and new is not None and new.status is Status.NOT_APPLICABLE),
    )


def _findings(
    old: ProcedureReport | None, new: ProcedureReport | None, ids: Mapping[str, str]
) -> tuple[list[Finding], list[Finding]]:
    """(cured, new) findings that are no verdicts: an end that is not reached, an action that can't be done."""
    ruled = {one.rule for report in (old, new) if report for one in report.verdicts}
    before = {(one.rule, ids.get(one.step or "", one.step)): one for one in (old.findings if old else ())}
    after = {(one.rule, one.step): one for one in (new.findings if new else ())}
    cured = [one for key, one in before.items() if key not in after and one.rule not in ruled]
    fresh = [one for key, one in after.items() if key not in before and one.rule not in ruled]
    return cured, fresh


def _orders_of(name: str, old: ProcedureReport | None, new: ProcedureReport | None) -> list[Shift]:
    if old is None or new is None or old.orders == new.orders:
        return []
    told = [
        ("not counted" if one.orders is None else f"{'' if one.orders.exact else 'at least '}{one.orders.number}")
        for one in (old, new)
    ]
    return [Shift(about=name, what="orders permitted", old=told[0], new=told[1])]


def _slips(
    name: str, old: SlipReport | None, new: SlipReport | None, ids: Mapping[str, str], procedure: Procedure | None
) -> list[SlipChange]:
    """Slips that became silent or no longer are; of a new step only those that are silent."""
    if new is None or procedure is None:
        return []
    numbers = {step.id: at for at, step in enumerate(steps_of(procedure.body), 1)}
    before = {(ids.get(slip.step), slip.sort): slip for slip in old.slips} if old else {}
    found: list[SlipChange] = []
    for slip in new.slips:
        was = before.get((slip.step, slip.sort))
        silent = [one is not None and one.outcome in (Outcome.SILENT, Outcome.UNDECIDED) for one in (was, slip)]
        harder = silent[0] and silent[1] and was is not None and (slip.severity or 0) > (was.severity or 0)
        if silent[0] == silent[1] and not harder:
            continue
        found.append(
            SlipChange(
                procedure=name,
                step=slip.step,
                step_name=f"step {numbers.get(slip.step, 0)} ({slip.step})",
                sort=slip.sort.value,
                old=None if was is None else was.outcome.value,
                new=slip.outcome.value,
                rule=slip.rule or (was.rule if was else None) or "",
                fatal=slip.fatal_silent or (was is not None and was.fatal_silent),
                worse=silent[1],
            )
        )
    return found


def _fatal(name: str, old: SlipReport | None, new: SlipReport | None) -> list[Shift]:
    if old is None or new is None:
        return []
    told = [f"{one.fatal_silent} of {one.fatal_total}" for one in (old, new)]
    worse = new.fatal_silent > old.fatal_silent
    what = "fatal slips that nothing in the model catches"
    return [Shift(about=name, what=what, old=told[0], new=told[1], worse=worse)] if told[0] != told[1] else []


def _people_and_time(old: Procedure, new: Procedure, workspace: Workspace) -> list[Shift]:
    roles = {role.id: role.label for role in workspace.unit.roles}
    found: list[Shift] = []
    pairs: list[tuple[str, Callable[[Procedure], str]]] = [
        ("time", lambda one: str(times_of(one))),
        ("steps", lambda one: str(len(steps_of(one.body)))),
        ("steps per person", lambda one: _per_person(one, roles)),
    ]
    for what, told in pairs:
        if told(old) != told(new):
            found.append(Shift(about=new.id, what=what, old=told(old), new=told(new)))
    return found


def _per_person(procedure: Procedure, roles: Mapping[str, str]) -> str:
    steps = steps_of(procedure.body)
    return ", ".join(f"{roles.get(who, who)} {sum(step.who == who for step in steps)}" for who in procedure.people)


def _volumes(old: Workspace, new: Workspace) -> list[Shift]:
    found: list[Shift] = []
    for rig in new.rigs:
        before = next((one for one in old.rigs if one.id == rig.id), None)
        told = [_volume(one) for one in (before, rig) if one is not None]
        if before is not None and told[0] != told[1]:
            found.append(Shift(about=rig.id, what="volume of the set as stated", old=told[0], new=told[1]))
    return found


def _volume(rig: Rig) -> str:
    """Tubes by bore and length, vessels by their volume; bags and the patient's vessels are not part of the set."""
    total = 0.0
    for part in rig.parts:
        if part.kind in ("bag", "vein", "artery"):
            continue
        bore, length, volume = (part.figure(name) for name in ("bore", "length", "volume"))
        try:
            if bore is not None and length is not None:
                total += tubing_volume(bore, length).value
            elif volume is not None:
                total += to(volume, "mL")
        except (UnitMismatchError, ValueError):
            return "can't be told"
    return f"{total:.0f} mL"


def _translated(old: Side, new: Side, pairs: Mapping[str, str]) -> list[Card]:
    """Cards whose print in another language differs, and only that: where the card itself differs, every print does."""
    back = {there: here for here, there in pairs.items()}
    return [
        Card(procedure=two.id, title=two.title, old=two.version, new=two.version, language=language)
        for language, hashes in sorted(new.translated.items())
        for two in new.workspace.procedures
        if language in old.translated and two.id in back
        if old.hashes.get(back[two.id]) == new.hashes.get(two.id)
        if old.translated[language].get(back[two.id]) != hashes.get(two.id)
    ]


def _cards(old: Side, new: Side, pairs: Mapping[str, str]) -> tuple[Card, ...]:
    before = {one.id: one for one in old.workspace.procedures}
    after = {one.id: one for one in new.workspace.procedures}
    found: list[Card] = []
    for name, one in before.items():
        two = after.get(pairs.get(name, ""))
        if two is None:
            found.append(Card(procedure=name, title=one.title, old=one.version, new=None))
        elif old.hashes.get(name) != new.hashes.get(two.id):
            same = one.version == two.version
            found.append(Card(procedure=two.id, title=two.title, old=one.version, new=two.version, same_version=same))
    fresh = [two for name, two in after.items() if name not in pairs.values()]
    found += [Card(procedure=two.id, title=two.title, old=None, new=two.version) for two in fresh]
    found += _translated(old, new, pairs)
    places = (*old.workspace.unit.places, *new.workspace.unit.places)
    return tuple(
        replace(
            _in_languages(card, old if card.new is None else new),
            hangs=tuple(dict.fromkeys(place.label for place in places if card.procedure in place.cards)),
        )
        for card in found
    )


def _in_languages(card: Card, side: Side) -> Card:
    whole = [code for code in sorted(side.translated) if card.procedure in side.whole.get(code, ())]
    if card.language:
        return replace(card, drafts=() if card.language in whole else (card.language,))
    return replace(card, also=tuple(whole), drafts=tuple(code for code in sorted(side.translated) if code not in whole))
