"""Parts chosen by what they are or where they sit: ``{all: clamps, on: [drain-line]}``, ``{before: flow-sensor}``."""

from __future__ import annotations

from stepwell.circuit.entry import Family, Verb
from stepwell.model.procedure import Via
from stepwell.model.rig import Part, Rig
from stepwell.source import faults
from stepwell.source.fields import Fields, described
from stepwell.source.near import did_you_mean, listed, quote
from stepwell.source.near_parts import Kinds, beside, family_of, near
from stepwell.source.nodes import Mapping, Node, Scalar
from stepwell.source.read_predicate import read_traits
from stepwell.source.scope import Scope
from stepwell.source.short_sections import SELECTED, SITE

_SHOWN = 8
"""Parts whose places a mend names."""
Chosen = tuple[tuple[str, ...], Via]


def read_selection(node: Mapping, verb: Verb, scope: Scope) -> Chosen:
    """The parts in the order of the rig, and what stands for them in words; none, with a note, where nothing fits."""
    if "before" in node.entries or "after" in node.entries:
        return _beside(node, verb, scope)
    handle = next((entry.key_span for entry in node.entries.values()), node.span)
    fields = Fields(node, SELECTED, scope.notes, handle).check()
    via = Via(name="all", every=True)
    kind = _kind(fields, verb, scope)
    traits, without = _traits(fields, kind, scope)
    spaces = _spaces(fields, scope)
    if kind is None or spaces is None or scope.whole is None:
        return (), via
    rig = scope.whole
    alike = [part for part in rig.parts if part.kind == kind and _has(part, traits, without)]
    if not alike:
        such = " with these traits" if traits or without else ""
        own = sorted({part.kind for part in rig.parts if part.kind in verb.pairs[0]})
        mend = f"On this rig {quote(verb.name)} can be done to: {listed(own)}." if own else ""
        _empty(fields, f"The rig {quote(rig.id)} has no {kind}{such}.", mend or "Name the parts.", scope)
        return (), via
    if not spaces:
        return tuple(part.id for part in alike), via
    kinds = scope.vocabulary.kinds_by_name
    chosen: set[str] = set()
    for space in spaces:
        here = near(rig, space.text, kinds) & {part.id for part in alike}
        if not here:
            around = {name for part in alike[:_SHOWN] for name in _places(rig, part, kinds)}
            places = [part.id for part in rig.parts if part.id in around]
            scope.notes.add(
                faults.EMPTY_SELECTION,
                space.span,
                f"No {kind} that is meant here sits on {quote(space.text)}.",
                f"Such parts sit on: {listed(places, most=8)}.",
            )
        chosen |= here
    return tuple(part.id for part in alike if part.id in chosen), via


def _places(rig: Rig, part: Part, kinds: Kinds) -> list[str]:
    names = {*near(rig, part.id, kinds), *(name for _, refs in part.refs for name in refs)}
    return [name for name in names if family_of(rig, name, kinds) is Family.SPACE]


def _empty(fields: Fields, message: str, mend: str, scope: Scope) -> None:
    scope.notes.add(faults.EMPTY_SELECTION, fields.node.entries["all"].value.span, message, mend)


def _has(part: Part, traits: tuple[str, ...], without: tuple[str, ...]) -> bool:
    return set(traits) <= set(part.traits) and not set(without) & set(part.traits)


def plurals(kind: str) -> tuple[str, str]:
    """The word for one part of a kind and the word for several: ``clamp``, ``clamps``; ``artery``, ``arteries``."""
    return kind, f"{kind[:-1]}ies" if kind.endswith("y") else f"{kind}s"


def _kind(fields: Fields, verb: Verb, scope: Scope) -> str | None:
    node = fields.scalar("all")
    if node is None:
        return None
    by_word = {word: kind.name for kind in scope.vocabulary.part_kinds for word in plurals(kind.name)}
    kind = by_word.get(node.text)
    fitting = verb.pairs[0]
    if kind is None:
        mend = did_you_mean(node.text, [plurals(name)[1] for name in fitting], what=f"With {quote(verb.name)} it can be")
        scope.notes.add(faults.UNKNOWN_KIND, node.span, f"There is no kind of part called {quote(node.text)}.", mend)
    elif kind not in fitting:
        able = [other.name for other in scope.vocabulary.verbs if other.pairs and kind in other.pairs[0]]
        scope.notes.add(
            faults.WRONG_KIND,
            node.span,
            f"{quote(verb.name)} can't be done to a {kind}; it is for {listed(fitting)}.",
            f"What can be done to a {kind}: {listed(able)}.",
        )
    else:
        return kind
    return None


def _traits(fields: Fields, kind: str | None, scope: Scope) -> tuple[tuple[str, ...], tuple[str, ...]]:
    entry = None if kind is None else scope.vocabulary.kinds_by_name.get(kind)
    single = fields.scalar("trait")
    wanted: list[Node] = [*([single] if single else []), *fields.listing("traits")]
    return tuple(read_traits(wanted, entry, scope)), tuple(read_traits(fields.one_or_more("without"), entry, scope))


def _spaces(fields: Fields, scope: Scope) -> list[Scalar] | None:
    """The spaces that ``on`` names; None if one of them can't be used."""
    found: list[Scalar] = []
    fine = True
    for node in fields.one_or_more("on"):
        if not isinstance(node, Scalar) or not isinstance(node.value, str) or not node.value:
            scope.notes.add(
                faults.WRONG_TYPE,
                node.span,
                f"`on` takes the names of spaces, but here is {described(node)}.",
                "Write for example `on: [drain-line, return-line]`.",
            )
            fine = False
            continue
        info = scope.known_part(node)
        if info is not None and info.kind is not None and info.kind.family is not Family.SPACE:
            scope.notes.add(
                faults.WRONG_KIND,
                node.span,
                f"`on` takes spaces such as lines, but {quote(info.id)} is of the kind {quote(info.kind.name)}.",
                "Name the line on which the parts sit.",
            )
            fine = False
        fine = fine and (info is not None or scope.parts is None)
        found.append(node)
    return found if fine else None


def _beside(node: Mapping, verb: Verb, scope: Scope) -> Chosen:
    side = "before" if "before" in node.entries else "after"
    entry = node.entries[side]
    fields = Fields(node, SITE, scope.notes, entry.key_span).check()
    place = fields.scalar(side)
    via = Via(name=side, parts=() if place is None else (place.text,))
    if len(node.entries) > 1 and "before" in node.entries and "after" in node.entries:
        scope.notes.add(
            faults.MIXED_ITEM,
            node.entries["after"].key_span,
            "A site is before a part or after it, but here are `before` and `after`.",
            "Write two, each in braces of its own.",
        )
        return (), via
    if place is None or scope.known_part(place) is None or scope.whole is None:
        return (), via
    found = tuple(name for name in beside(scope.whole, place.text, side) if _fits(scope.whole, name, verb))
    if not found:
        scope.notes.add(
            faults.NO_SUCH_SITE,
            place.span,
            f"The rig {quote(scope.whole.id)} names nothing {side} {quote(place.text)} "
            f"to which {quote(verb.name)} can be done.",
            f"Name the part, or add the site of a roaming clamp there to the rig and name it under `{side}`.",
        )
    return found, via


def _fits(rig: Rig, name: str, verb: Verb) -> bool:
    part = rig.part(name)
    return part is not None and part.kind in verb.pairs[0]
