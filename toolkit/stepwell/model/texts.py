"""Every text that a reader of a card or page sees, by the place it stands at; and a way to put others in their places.

There is one walk for both, so that what is handed to a translator is what is printed, and nothing else.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from stepwell.model.procedure import (
    AnyOrder,
    Body,
    Choose,
    Expectation,
    Figure,
    Hold,
    Item,
    KitItem,
    Lanes,
    Meet,
    PartName,
    Procedure,
    Repeat,
    Run,
    Sight,
    Stage,
    Step,
    Text,
    Warn,
    Words,
)
from stepwell.model.rig import Part, Rig
from stepwell.model.unit import Unit
from stepwell.model.workspace import Workspace

_TOKEN = re.compile(r"\{\{|\}\}|\{([^{}\n]*)\}")
_BARE_AMOUNT = re.compile(r"[\d.,]+(?: ?(?:mL|L|m|cm|mm|g|kg|%|min|h|s|bar|rpm|L/min))?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a text stands: ``context`` is a step's id or ``sort:id``, ``slot`` what it is there (``say``, ``why`` ...)."""

    context: str
    slot: str
    owner: str = ""
    """The procedure it is printed with; empty for the texts of sets and of the unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedText:
    """A text as it would stand in a file, with its place."""

    place: Place
    words: str


Change = Callable[[Place, Words], Words]


def written(words: Words) -> str:
    """Words as they are written in a file: ``{name}`` for parts and figures, doubled braces for braces."""
    out: list[str] = []
    for run in words:
        match run:
            case Text(words=text):
                out.append(text.replace("{", "{{").replace("}", "}}"))
            case PartName(part=name) | Figure(name=name):
                out.append(f"{{{name}}}")
    return "".join(out)


def names_in(text: str) -> tuple[str, ...]:
    """The names in braces of a written text, each once, in order."""
    return tuple(dict.fromkeys(match[1] for match in _TOKEN.finditer(text) if match[1] is not None))


def cut(text: str, like: Words) -> Words:
    """A written text as words. Its names are the parts and figures that ``like`` has; others stay as they are written."""
    known: dict[str, Run] = {}
    for run in like:
        match run:
            case PartName(part=name) | Figure(name=name):
                known[name] = run
    runs: list[Run] = []
    plain = ""
    last = 0
    for match in _TOKEN.finditer(text):
        plain += text[last : match.start()]
        last = match.end()
        if match[1] is None:
            plain += match[0][0]
        elif match[1] not in known:
            plain += match[0]
        else:
            runs.extend([Text(plain)] if plain else [])
            runs.append(known[match[1]])
            plain = ""
    plain += text[last:]
    return (*runs, Text(plain)) if plain else tuple(runs)


def texts_of(workspace: Workspace) -> tuple[PlacedText, ...]:
    """Every text in the order of the pages: procedures, then sets, then what is the unit's."""
    found: dict[PlacedText, None] = {}

    def note(place: Place, words: Words) -> Words:
        found[PlacedText(place=place, words=written(words))] = None
        return words

    with_texts(workspace, note)
    return tuple(found)


def with_texts(workspace: Workspace, change: Change) -> Workspace:
    """The workspace with every text that a reader sees put through ``change``; empty texts are left alone."""
    return replace(
        workspace,
        procedures=tuple(procedure_texts(one, change) for one in workspace.procedures),
        rigs=tuple(_rig(one, change, _started_from(workspace, one.id)) for one in workspace.rigs),
        unit=_unit(workspace.unit, change),
    )


def procedure_texts(procedure: Procedure, change: Change) -> Procedure:
    """One procedure with its texts put through ``change``."""
    here = _Here(owner=procedure.id, change=change)
    head = f"procedure:{procedure.id}"
    return replace(
        procedure,
        title=here.plain(head, "title", procedure.title),
        use_when=here.words(head, "use-when", procedure.use_when),
        do_not_use_when=here.words(head, "do-not-use-when", procedure.do_not_use_when),
        kit=tuple(here.kit(head, item) for item in procedure.kit),
        cautions=tuple(here.words(head, "caution", words) for words in procedure.cautions),
        body=here.body(head, procedure.body),
        done_call=here.words(head, "done-call", procedure.done_call),
        sources=tuple(here.plain(head, "source", text) for text in procedure.sources),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Here:
    """Walks through one procedure."""

    owner: str
    change: Change

    def words(self, context: str, slot: str, words: Words) -> Words:
        return self.change(Place(context=context, slot=slot, owner=self.owner), words) if words else words

    def plain(self, context: str, slot: str, text: str) -> str:
        return _plain(self.change, Place(context=context, slot=slot, owner=self.owner), text)

    def kit(self, head: str, item: KitItem) -> KitItem:
        bare = item.part is not None and item.name in ("", item.part)
        amount = item.amount
        return replace(
            item,
            name=item.name if bare else self.plain(head, "kit", item.name),
            amount=amount if _BARE_AMOUNT.fullmatch(amount) else self.plain(head, "kit-amount", amount),
        )

    def body(self, head: str, body: Body) -> Body:
        return tuple(self.item(head, item) for item in body)

    def item(self, head: str, item: Item) -> Item:
        match item:
            case Step():
                return self.step(item)
            case Stage() | AnyOrder():
                return replace(item, title=self.plain(head, "stage", item.title), body=self.body(head, item.body))
            case Lanes():
                lanes = tuple(replace(lane, body=self.body(head, lane.body)) for lane in item.lanes)
                return replace(item, title=self.plain(head, "stage", item.title), lanes=lanes)
            case Meet():
                return replace(item, name=self.plain(head, "meeting", item.name))
            case Choose():
                outcomes = tuple(
                    replace(one, label=self.plain(item.id, "answer", one.label), body=self.body(head, one.body))
                    for one in item.outcomes
                )
                return replace(item, question=self.words(item.id, "question", item.question), outcomes=outcomes)
            case Repeat():
                return replace(item, title=self.plain(item.id, "title", item.title), body=self.body(head, item.body))
            case Hold():
                return replace(
                    item,
                    title=self.words(item.id, "hold", item.title),
                    until=self.expected(item.id, item.until),
                    abort=self.words(item.id, "abort", item.abort),
                )

    def step(self, step: Step) -> Step:
        told = step.if_not
        return replace(
            step,
            warn=tuple(self.warn(step.id, warn) for warn in step.warn),
            say=self.words(step.id, "say", step.say),
            expect=self.expected(step.id, step.expect),
            if_not=None if told is None else replace(told, words=self.words(step.id, "if-not", told.words)),
            missed=self.words(step.id, "missed", step.missed),
            why=self.words(step.id, "why", step.why),
        )

    def expected(self, context: str, expected: tuple[Expectation, ...]) -> tuple[Expectation, ...]:
        return tuple(
            replace(one, words=self.words(context, "see", one.words)) if isinstance(one, Sight) else one for one in expected
        )

    def warn(self, context: str, warn: Warn) -> Warn:
        return replace(
            warn,
            hazard=self.words(context, "hazard", warn.hazard),
            consequence=self.words(context, "consequence", warn.consequence),
            avoidance=self.words(context, "avoidance", warn.avoidance),
        )


def _plain(change: Change, place: Place, text: str) -> str:
    if not text.strip():
        return text
    return "".join(run.words for run in change(place, (Text(text),)) if isinstance(run, Text))


def _started_from(workspace: Workspace, rig: str) -> frozenset[str]:
    starts = (one.starts for one in workspace.procedures if one.rig == rig)
    return frozenset(one.baseline for one in starts if one is not None and one.baseline is not None)


def _rig(rig: Rig, change: Change, started_from: frozenset[str]) -> Rig:
    head = f"rig:{rig.id}"
    # The names of baselines are ids, as is what connectors fit; cards and inspection sheets show them as words.
    for at, baseline in enumerate(rig.baselines):
        if at == 0 or baseline.name in started_from:
            _plain(change, Place(context=head, slot="start"), baseline.name.replace("-", " "))
    title = _plain(change, Place(context=head, slot="title"), rig.title)
    return replace(rig, title=title, parts=tuple(_part(part, change) for part in rig.parts))


def _part(part: Part, change: Change) -> Part:
    context = f"part:{part.id}"
    fits = part.word("fits")
    if fits is not None:
        _plain(change, Place(context=f"fits:{fits}", slot="fits"), fits.replace("-", " "))
    return replace(
        part,
        label=_plain(change, Place(context=context, slot="label"), part.label),
        place=_plain(change, Place(context=context, slot="place"), part.place),
    )


def _unit(unit: Unit, change: Change) -> Unit:
    return replace(
        unit,
        notice=_plain(change, Place(context="unit", slot="notice"), unit.notice),
        roles=tuple(
            replace(one, label=_plain(change, Place(context=f"role:{one.id}", slot="role"), one.label)) for one in unit.roles
        ),
        places=tuple(
            replace(one, label=_plain(change, Place(context=f"place:{one.id}", slot="place"), one.label))
            for one in unit.places
        ),
    )


def contexts_of(texts: tuple[PlacedText, ...]) -> dict[str, set[str]]:
    """The texts by context."""
    found: dict[str, set[str]] = {}
    for one in texts:
        found.setdefault(one.place.context, set()).add(one.words)
    return found
