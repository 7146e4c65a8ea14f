"""Conditions over facts (see ``stepwell.model.predicate`` for how they are written)."""

from __future__ import annotations

import re
from enum import Enum

from stepwell.circuit.entry import ArgSpec, FactEntry, PartKind
from stepwell.diagnostics.span import Span
from stepwell.model.predicate import ALWAYS, AllOf, AnyOf, Fact, Not, Predicate, Quantified, Ref, Selector
from stepwell.source import faults
from stepwell.source.fields import Fields, described
from stepwell.source.near import did_you_mean, listed, nearest, quote
from stepwell.source.nodes import Entry, Listing, Mapping, Node, Scalar
from stepwell.source.scope import Scope, ref_of
from stepwell.source.sections import QUANTIFIED, SELECTOR

CONNECTIVES = ("all", "any", "not", "for-every", "for-some")
_VARIABLE = re.compile(r"[a-z][a-z0-9]{0,15}")


class Asked(Enum):
    """What a condition is for."""

    STATE = "state"
    """A lasting state: ``ends``, ``when``, ``until`` of a repeat."""
    SEEN = "seen"
    """Something a person confirms: ``expect``, ``until`` of a hold."""
    ANYTHING = "anything"
    """A rule."""


def read_predicate(node: Node, scope: Scope, asked: Asked = Asked.STATE) -> Predicate:
    """The condition of a node; ``ALWAYS`` where it can't be read, with a note."""
    if isinstance(node, Listing):
        scope.notes.add(
            faults.WRONG_TYPE,
            node.span,
            "One condition is needed here, but here is a list.",
            "Write `{all: [...]}` if every one must be so, or `{any: [...]}` if one is enough.",
        )
        for item in node.items:
            read_predicate(item, scope, asked)
        return ALWAYS
    if not isinstance(node, Mapping):
        scope.notes.add(
            faults.WRONG_TYPE,
            node.span,
            f"A condition is needed here, but here is {described(node)}.",
            "Write a fact and its part, for example `{shut: vent}`.",
        )
        return ALWAYS
    keys = list(node.entries)
    for word in ("for-every", "for-some"):
        if word in node.entries:
            return _quantified(node, word, scope, asked)
    if len(keys) != 1:
        _not_one(node, scope)
        return ALWAYS
    entry = node.entries[keys[0]]
    match entry.key:
        case "not":
            return Not(read_predicate(entry.value, scope, asked))
        case "all" | "any":
            bodies = tuple(read_predicate(item, scope, asked) for item in _several(entry, scope))
            return AllOf(bodies) if entry.key == "all" else AnyOf(bodies)
        case _:
            return _fact(entry, scope, asked)


def _not_one(node: Mapping, scope: Scope) -> None:
    if not node.entries:
        scope.notes.add(faults.EMPTY_VALUE, node.span, "The condition is empty.", "Write for example `{shut: vent}`.")
        return
    each = ", ".join(f"{{{entry.key}: ...}}" for entry in list(node.entries.values())[:4])
    scope.notes.add(
        faults.MIXED_ITEM,
        node.span,
        f"One condition says one thing, but here are {listed(node.entries, most=4)}.",
        f"Write `{{all: [{each}]}}` if every one must be so.",
    )


def _several(entry: Entry, scope: Scope) -> list[Node]:
    if isinstance(entry.value, Listing) and entry.value.items:
        return entry.value.items
    scope.notes.add(
        faults.WRONG_TYPE,
        entry.value.span,
        f"{quote(entry.key)} takes a list of conditions.",
        f"Write for example `{{{entry.key}: [{{shut: vent}}, {{stopped: pump}}]}}`.",
    )
    return [entry.value] if isinstance(entry.value, Mapping) and entry.value.entries else []


def _fact(entry: Entry, scope: Scope, asked: Asked) -> Predicate:
    known = scope.vocabulary.facts_by_name
    fact = known.get(entry.key)
    if fact is None:
        mend = did_you_mean(entry.key, (*known, *CONNECTIVES), what="Facts are", most=50)
        scope.notes.add(faults.UNKNOWN_FACT, entry.key_span, f"{quote(entry.key)} is not a fact that the tool knows.", mend)
        return ALWAYS
    if asked is not Asked.ANYTHING:
        _fit_for(fact, entry, scope, asked)
    if not fact.args:
        _no_argument(entry, scope)
        return Fact(fact.name, (), entry.span)
    if len(fact.args) == 1:
        nodes = entry.value.items if isinstance(entry.value, Listing) else [entry.value]
        if not nodes:
            scope.notes.add(
                faults.EMPTY_VALUE, entry.value.span, f"{quote(entry.key)} names no part.", "Name a part, or delete it."
            )
        spans = [node.span for node in nodes] if isinstance(entry.value, Listing) else [entry.span]
        facts = [
            Fact(fact.name, (ref,), span)
            for node, span in zip(nodes, spans, strict=True)
            if (ref := _argument(node, fact.args[0], fact, scope)) is not None
        ]
        return facts[0] if len(facts) == 1 else AllOf(tuple(facts))
    return _with_several(entry, fact, scope)


def _with_several(entry: Entry, fact: FactEntry, scope: Scope) -> Predicate:
    names = ", ".join(arg.name for arg in fact.args)
    if not isinstance(entry.value, Listing) or len(entry.value.items) != len(fact.args):
        scope.notes.add(
            faults.WRONG_NUMBER_OF_PARTS,
            entry.value.span,
            f"{quote(fact.name)} takes a list of {len(fact.args)}: {names}.",
            f"Write `{{{fact.name}: [{names}]}}`.",
        )
        return ALWAYS
    refs = [_argument(node, spec, fact, scope) for node, spec in zip(entry.value.items, fact.args, strict=True)]
    found = tuple(ref for ref in refs if ref is not None)
    return Fact(fact.name, found, entry.span) if len(found) == len(fact.args) else ALWAYS


def _fit_for(fact: FactEntry, entry: Entry, scope: Scope, asked: Asked) -> None:
    if fact.passing:
        scope.notes.add(
            faults.PASSING_FACT,
            entry.key_span,
            f"{quote(fact.name)} is true only at the moment when it happens; here a lasting state is asked for.",
            "Ask for the state that must be left behind, such as `holds-air` or `air-free`.",
        )
    elif asked is Asked.SEEN and not fact.observed:
        lasting = [other for other in scope.vocabulary.facts if other.observed and not other.passing]
        alike = [other.name for other in lasting if _kinds(other) & _kinds(fact)]
        seen = alike or [other.name for other in lasting]
        scope.notes.add(
            faults.NOBODY_CAN_TELL,
            entry.key_span,
            f"Nobody can see, read or feel at the bedside whether something is {quote(fact.name)}.",
            f"Expect what shows it: `reading`, `see`, or a fact such as {listed(seen, most=6)}.",
        )


def _kinds(fact: FactEntry) -> set[str]:
    return {kind for arg in fact.args for kind in arg.kinds}


def _no_argument(entry: Entry, scope: Scope) -> None:
    value = entry.value
    if isinstance(value, Scalar) and value.value is True:
        return
    if isinstance(value, Listing) and not value.items:
        return
    mend = f"Write `{{{entry.key}: true}}`, or `{{not: {{{entry.key}: true}}}}` for the opposite."
    scope.notes.add(
        faults.WRONG_NUMBER_OF_PARTS,
        value.span,
        f"{quote(entry.key)} is about the whole circuit and takes no part, only `true`.",
        mend,
    )


def _argument(node: Node, spec: ArgSpec, fact: FactEntry, scope: Scope) -> Ref | None:
    if not isinstance(node, Scalar) or not isinstance(node.value, str) or not node.value:
        scope.notes.add(
            faults.WRONG_TYPE,
            node.span,
            f"{quote(fact.name)} takes the name of a part ({spec.name}), but here is {described(node)}.",
            f"Write for example `{{{fact.name}: {spec.choices[0] if spec.choices else 'prime-line'}}}`.",
        )
        return None
    if spec.choices:
        if node.text not in spec.choices:
            scope.notes.add(
                faults.UNKNOWN_WORD,
                node.span,
                f"{quote(node.text)} is not a {spec.name} that {quote(fact.name)} knows.",
                did_you_mean(node.text, spec.choices, what="Choose one of"),
            )
        return Ref(node.text)
    return read_ref(node, spec.kinds, scope, f"{quote(fact.name)} is said of")


def read_ref(node: Scalar, kinds: tuple[str, ...], scope: Scope, doing: str) -> Ref:
    """A part or letter, perhaps with its own reference (``s.site``); checked as far as its kind is known."""
    name, dot, attr = node.text.partition(".")
    kind: PartKind | None
    if name in scope.variables:
        kind = scope.variables[name]
        if not dot and kind is not None and kinds and kind.name not in kinds:
            scope.notes.add(
                faults.WRONG_KIND,
                node.span,
                f"{doing} {listed(kinds)}, but {quote(name)} stands for parts of the kind {quote(kind.name)}.",
                "Bind the letter to another kind, or ask another fact.",
            )
    else:
        kind = _of_part(node, name, bool(dot), kinds, scope, doing)
    if not dot:
        return Ref(name)
    if kind is not None:
        _follow(node, kind, attr, kinds, scope, doing)
    return Ref(name, attr)


def _of_part(node: Scalar, name: str, dotted: bool, kinds: tuple[str, ...], scope: Scope, doing: str) -> PartKind | None:
    if scope.parts is not None and name in scope.parts:
        info = scope.parts[name]
        if not dotted:
            scope.kind_fits(info, kinds, node.span, doing)
        return info.kind
    if scope.rule:
        mend = did_you_mean(name, scope.variables, what="Bound are")
        if nearest(name, scope.variables) is None:
            mend = f"{mend} Or bind it in `for-every`.".strip()
        scope.notes.add(
            faults.UNKNOWN_VARIABLE, node.span, f"{quote(name)} is neither bound by `for-every` nor a part of a rig.", mend
        )
    elif scope.parts is not None:
        scope.no_part(name, node.span)
    return None


def _follow(node: Scalar, kind: PartKind, attr: str, kinds: tuple[str, ...], scope: Scope, doing: str) -> None:
    ref = ref_of(kind, attr)
    if ref is None:
        scope.notes.add(
            faults.UNKNOWN_VARIABLE,
            node.span,
            f"{quote(node.text)}: a {kind.name} has no reference {quote(attr)}.",
            did_you_mean(attr, tuple(r.name for r in kind.refs), what="It has") or "Parts of this kind have none.",
        )
    elif kinds and ref.kinds and not set(kinds) & set(ref.kinds):
        scope.notes.add(
            faults.WRONG_KIND,
            node.span,
            f"{doing} {listed(kinds)}, but {quote(node.text)} is of the kind {listed(ref.kinds)}.",
            "Ask another fact, or follow another reference.",
        )


def _quantified(node: Mapping, word: str, scope: Scope, asked: Asked) -> Predicate:
    section = QUANTIFIED[word]
    fields = Fields(node, section, scope.notes, node.entries[word].key_span).check()
    over = fields.mapping(word)
    holds = fields.entry("holds")
    if over is None or holds is None:
        return ALWAYS
    if len(over.entries) != 1:
        scope.notes.add(
            faults.MIXED_ITEM,
            over.span,
            f"{quote(word)} binds one letter.",
            "Put a second one inside `holds`.",
        )
        return ALWAYS
    (entry,) = over.entries.values()
    selector = read_selector(entry, scope)
    outer = dict(scope.variables)
    bind(entry.key, entry.key_span, selector, scope)
    body = read_predicate(holds.value, scope, asked)
    scope.variables = outer
    return Quantified(word == "for-every", entry.key, selector, body)


def bind(variable: str, span: Span, selector: Selector, scope: Scope) -> None:
    """Bind a letter, noting names that are no letters or would hide a part."""
    if not _VARIABLE.fullmatch(variable):
        scope.notes.add(
            faults.MALFORMED_ID, span, f"{quote(variable)} can't be a letter for parts.", "Write a short word such as `s`."
        )
    elif variable in scope.variables or (scope.parts is not None and variable in scope.parts and not scope.rule):
        scope.notes.add(
            faults.DUPLICATE_NAME, span, f"{quote(variable)} already means something else.", "Choose another letter."
        )
    scope.variables[variable] = scope.vocabulary.kinds_by_name.get(selector.kind or "")


def read_selector(entry: Entry, scope: Scope) -> Selector:
    """Which parts a letter stands for."""
    if not isinstance(entry.value, Mapping):
        scope.notes.add(
            faults.WRONG_TYPE,
            entry.value.span,
            f"{quote(entry.key)} must say which parts it stands for, but here is {described(entry.value)}.",
            f"Write for example `{entry.key}: {{kind: pressure-sensor}}`.",
        )
        return Selector()
    fields = Fields(entry.value, SELECTOR, scope.notes, entry.key_span).check()
    node = fields.scalar("kind")
    kind = None
    if node is not None:
        kind = scope.vocabulary.kinds_by_name.get(node.text)
        if kind is None:
            note_kind(node, scope)
    traits = (*_traits(fields, "trait", kind, scope), *_traits(fields, "traits", kind, scope))
    without = tuple(_traits(fields, "without", kind, scope))
    return Selector(None if node is None else node.text, traits, without)


def note_kind(node: Scalar, scope: Scope) -> None:
    """Note a kind of part that does not exist."""
    mend = did_you_mean(node.text, scope.vocabulary.kinds_by_name, what="Kinds are", most=40)
    scope.notes.add(faults.UNKNOWN_KIND, node.span, f"There is no kind of part called {quote(node.text)}.", mend)


def _traits(fields: Fields, key: str, kind: PartKind | None, scope: Scope) -> list[str]:
    nodes = fields.listing(key) if key == "traits" else fields.one_or_more(key)
    if key == "trait":
        single = fields.scalar(key)
        nodes = [] if single is None else [single]
    return read_traits(nodes, kind, scope)


def read_traits(nodes: list[Node], kind: PartKind | None, scope: Scope) -> list[str]:
    """Trait words that the kind has (any kind has, where it is not known)."""
    kinds = scope.vocabulary.part_kinds if kind is None else (kind,)
    known = tuple(dict.fromkeys(trait for entry in kinds for trait, _ in entry.traits))
    found = []
    for node in nodes:
        if not isinstance(node, Scalar) or not isinstance(node.value, str):
            scope.notes.add(
                faults.WRONG_TYPE,
                node.span,
                f"A trait is a word, but here is {described(node)}.",
                f"Write for example `{known[0] if known else 'main'}`.",
            )
        elif node.text not in known:
            whose = f"A {kind.name}" if kind is not None else "No kind of part"
            verb = "has no trait" if kind is not None else "has a trait"
            mend = did_you_mean(node.text, known, what="It can have") or "Parts of this kind have no traits."
            scope.notes.add(faults.UNKNOWN_TRAIT, node.span, f"{whose} {verb} {quote(node.text)}.", mend)
        else:
            found.append(node.text)
    return found
