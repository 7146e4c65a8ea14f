"""Shapes of rules that take more than a condition: a time, a stock, two parts that must match."""

from __future__ import annotations

from stepwell.circuit.entry import PartKind
from stepwell.model.predicate import ALWAYS, Predicate, Ref
from stepwell.model.quantity import Quantity
from stepwell.model.rule import Enough, Match, NeverLonger, Shape, Within
from stepwell.source import faults
from stepwell.source.fields import Fields, mapping_of
from stepwell.source.near import did_you_mean, quote
from stepwell.source.nodes import Scalar
from stepwell.source.read_predicate import Asked, bind, read_predicate, read_ref, read_selector
from stepwell.source.read_quantity import positive, read_quantity
from stepwell.source.scope import Scope
from stepwell.source.sections import ENOUGH, MATCH, WITHIN, Section

JOINED = "joined"
"""``e.joined`` in a match: the end that ``e`` is joined to just then."""


def read_other_shape(name: str, fields: Fields, scope: Scope) -> Shape | None:
    """The shape under the key ``name``; None where it can't be read, with a note."""
    match name:
        case "never-longer":
            return _never_longer(fields, scope)
        case "within":
            return _within(fields, scope)
        case "enough":
            return _enough(fields, scope)
        case _:
            return _match(fields, scope)


def _condition(fields: Fields, key: str, scope: Scope) -> Predicate:
    entry = fields.entry(key)
    return ALWAYS if entry is None else read_predicate(entry.value, scope, Asked.ANYTHING)


def _time(fields: Fields, key: str, scope: Scope) -> Quantity | None:
    entry = fields.entry(key)
    if entry is None:
        return None
    what = quote(key)
    return positive(read_quantity(entry.value, "time", scope, what, named=True), entry.value, scope, what)


def _inner(fields: Fields, key: str, section: Section, example: str, scope: Scope) -> Fields | None:
    entry = fields.node.entries[key]
    node = mapping_of(entry.value, section, scope.notes, what=quote(key), example=f"{key}: {example}")
    return None if node is None else Fields(node, section, scope.notes, entry.key_span).check()


def _never_longer(fields: Fields, scope: Scope) -> Shape | None:
    state = _condition(fields, "never-longer", scope)
    if not fields.has("than"):
        scope.notes.add(
            faults.MISSING_KEY,
            fields.node.entries["never-longer"].key_span,
            "`never-longer` has no `than`: how long is too long.",
            "Add for example `than: 30 s`, or use `never` if no moment of it is right.",
        )
        return None
    than = _time(fields, "than", scope)
    return None if than is None else NeverLonger(state=state, than=than)


def _within(fields: Fields, scope: Scope) -> Shape | None:
    example = "{of: {flow: forward}, comes: {gas-flowing: g}, time: 60 s}"
    inner = _inner(fields, "within", WITHIN, example, scope)
    if inner is None:
        return None
    of, comes = _condition(inner, "of", scope), _condition(inner, "comes", scope)
    time = _time(inner, "time", scope)
    return None if time is None else Within(of=of, comes=comes, time=time)


def _enough(fields: Fields, scope: Scope) -> Shape | None:
    example = "{count: {c: {kind: clamp, trait: roaming}}, that: {shut: c}, stock: s.count}"
    inner = _inner(fields, "enough", ENOUGH, example, scope)
    if inner is None:
        return None
    count, that = inner.mapping("count"), inner.entry("that")
    stock = _stock(inner, scope)
    if count is None or that is None:
        return None
    if len(count.entries) != 1:
        scope.notes.add(
            faults.MIXED_ITEM,
            count.span,
            "`count` binds one letter: one sort of thing is counted.",
            "Write for example `count: {c: {kind: clamp, trait: roaming}}`.",
        )
        return None
    (entry,) = count.entries.values()
    selector = read_selector(entry, scope)
    outer = dict(scope.variables)
    bind(entry.key, entry.key_span, selector, scope)
    counted = read_predicate(that.value, scope, Asked.ANYTHING)
    scope.variables = outer
    return None if stock is None else Enough(variable=entry.key, over=selector, that=counted, stock=stock)


def _stock(inner: Fields, scope: Scope) -> Ref | None:
    node = inner.scalar("stock")
    if node is None:
        return None
    name, dot, figure = node.text.partition(".")
    example = "Write the letter of a part and its figure, for example `stock: s.count`."
    if not dot or not figure:
        scope.notes.add(
            faults.WRONG_TYPE, node.span, f"{quote(node.text)} is not the figure of a part, such as `s.count`.", example
        )
        return None
    read_ref(Scalar(text=name, value=name, plain=True, span=node.span), (), scope, "The stock is a figure of")
    kind = _kind_of(name, scope)
    counts = () if kind is None else tuple(spec.name for spec in kind.figures if spec.dimension == "count")
    if kind is not None and figure not in counts:
        scope.notes.add(
            faults.UNKNOWN_VARIABLE,
            node.span,
            f"{quote(node.text)}: a {kind.name} states no count called {quote(figure)}.",
            did_you_mean(figure, counts, what="It counts") or "Parts of this kind count nothing.",
        )
        return None
    return Ref(name, figure)


def _kind_of(name: str, scope: Scope) -> PartKind | None:
    if name in scope.variables:
        return scope.variables[name]
    info = (scope.parts or {}).get(name)
    return None if info is None else info.kind


def _match(fields: Fields, scope: Scope) -> Shape | None:
    inner = _inner(fields, "match", MATCH, "{of: s, word: side, with: s.site}", scope)
    if inner is None:
        return None
    of_node, with_node, word = inner.scalar("of"), inner.scalar("with"), inner.scalar("word")
    same = inner.flag("same") or not inner.has("same")
    if word is not None:
        known = tuple(dict.fromkeys(spec.name for kind in scope.vocabulary.part_kinds for spec in kind.words))
        if word.text not in known:
            scope.notes.add(
                faults.UNKNOWN_WORD,
                word.span,
                f"No kind of part states a word called {quote(word.text)}.",
                did_you_mean(word.text, known, what="Words are"),
            )
            return None
    of = None if of_node is None else read_ref(of_node, (), scope, "A match is of")
    with_ = None if with_node is None else _partner(with_node, scope)
    if of is None or with_ is None:
        return None
    return Match(of=of, with_=with_, word=None if word is None else word.text, same=same)


def _partner(node: Scalar, scope: Scope) -> Ref:
    name, _, attr = node.text.partition(".")
    if attr != JOINED:
        return read_ref(node, (), scope, "A match is with")
    bare = Scalar(text=name, value=name, plain=True, span=node.span)
    return Ref(read_ref(bare, ("end",), scope, "Joined to another can be").name, JOINED)
