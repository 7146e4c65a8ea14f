"""One part of a rig: what its kind declares, and nothing else."""

from __future__ import annotations

from stepwell.circuit.entry import FigureSpec, PartKind, RefSpec, WordSpec
from stepwell.model.quantity import Quantity
from stepwell.model.rig import Part
from stepwell.source import faults
from stepwell.source.amounts import example_of
from stepwell.source.fields import Fields, described
from stepwell.source.near import did_you_mean, quote
from stepwell.source.nodes import Entry, Listing, Mapping, Node, Scalar
from stepwell.source.read_predicate import note_kind, read_traits
from stepwell.source.read_quantity import positive, read_quantity
from stepwell.source.scope import PartInfo, Scope
from stepwell.source.sections import PART

SIGNED = frozenset({"height"})
"""Figures that may be zero or below."""
ROAMING = "roaming"
"""The trait of a loose clamp: the part is a site where one may be put, so its place must be told."""


def kind_of(entry: Entry, scope: Scope) -> PartKind | None:
    """The kind of a part as far as it is known; says nothing."""
    node = entry.value.get("kind") if isinstance(entry.value, Mapping) else None
    text = node.value.text if node is not None and isinstance(node.value, Scalar) else ""
    return scope.vocabulary.kinds_by_name.get(text)


def info_of(entry: Entry, scope: Scope) -> PartInfo:
    """What others must know of a part; says nothing."""
    fits = entry.value.get("fits") if isinstance(entry.value, Mapping) else None
    word = fits.value.text if fits is not None and isinstance(fits.value, Scalar) else None
    label = entry.value.get("label") if isinstance(entry.value, Mapping) else None
    said = label.value.text if label is not None and isinstance(label.value, Scalar) else ""
    return PartInfo(id=entry.key, kind=kind_of(entry, scope), fits=word, label=said)


def read_part(entry: Entry, scope: Scope) -> Part | None:
    """The part of an entry of ``parts``; references are checked later, when all parts are known."""
    if not isinstance(entry.value, Mapping):
        scope.notes.add(
            faults.WRONG_TYPE,
            entry.value.span,
            f"The part {quote(entry.key)} takes a group of `key: value`, but here is {described(entry.value)}.",
            f"Write for example `{entry.key}: {{kind: clamp, label: prime clamp}}`.",
        )
        return None
    fields = Fields(entry.value, PART, scope.notes, entry.key_span, f"the part {quote(entry.key)}")
    kind = kind_of(entry, scope)
    if kind is None:
        # Without a kind nobody knows which other keys it may have.
        fields.check(entry.value.entries)
        node = fields.scalar("kind")
        if node is not None:
            note_kind(node, scope)
        return None
    fields.check(spec.name for spec in specs_of(kind))
    _note_needed(fields, kind, entry, scope)
    single = fields.scalar("trait")
    if single is not None and fields.has("traits"):
        scope.notes.add(
            faults.MIXED_ITEM,
            entry.value.entries["traits"].key_span,
            "`trait` and `traits` stand side by side.",
            "Keep `traits`.",
        )
    traits = read_traits([*([single] if single else []), *fields.listing("traits")], kind, scope)
    if kind.sorts and not set(kind.sorts) & set(traits) and not (single or fields.has("traits")):
        words = " or ".join(f"`trait: {word}`" for word in kind.sorts)
        scope.notes.add(
            faults.MISSING_KEY,
            entry.key_span,
            f"The {kind.name} {quote(entry.key)} does not say which sort it is: {kind.summary}",
            f"Add {words}.",
        )
    if ROAMING in traits and not fields.has("place"):
        scope.notes.add(
            faults.MISSING_KEY,
            entry.key_span,
            f"The roaming {kind.name} {quote(entry.key)} has no `place`, so nobody knows where to put it.",
            "Add for example `place: on the return limb before the flow sensor`.",
        )
    return Part(
        id=entry.key,
        kind=kind.name,
        label=fields.text("label"),
        place=fields.text("place"),
        traits=tuple(dict.fromkeys(traits)),
        data=tuple(figure for spec in kind.figures if (figure := _figure(fields, spec, scope)) is not None),
        refs=tuple((spec.name, ids) for spec in kind.refs if (ids := _ref(fields, spec, scope))),
        words=tuple(word for spec in kind.words if (word := _word(fields, spec, scope)) is not None),
        span=entry.key_span,
    )


def specs_of(kind: PartKind) -> tuple[FigureSpec | RefSpec | WordSpec, ...]:
    """Everything that parts of a kind declare besides label, place and traits."""
    return (*kind.figures, *kind.refs, *kind.words)


def _note_needed(fields: Fields, kind: PartKind, entry: Entry, scope: Scope) -> None:
    for spec in specs_of(kind):
        if spec.required and not fields.has(spec.name):
            scope.notes.add(
                faults.MISSING_KEY,
                entry.key_span,
                f"The {kind.name} {quote(entry.key)} has no {quote(spec.name)}: {spec.summary}.",
                f"Add for example `{spec.name}: {_example(spec)}`.",
            )


def _example(spec: FigureSpec | RefSpec | WordSpec) -> str:
    match spec:
        case FigureSpec(dimension=dimension):
            return example_of(dimension)
        case WordSpec(choices=choices) if choices:
            return choices[0]
        case WordSpec():
            return "three-eighths"
        case RefSpec(kinds=kinds, many=many):
            name = f"the-{kinds[0]}" if kinds else "drain-line"
            return f"[{name}]" if many else name


def _figure(fields: Fields, spec: FigureSpec, scope: Scope) -> tuple[str, Quantity] | None:
    entry = fields.entry(spec.name)
    if entry is None:
        return None
    found = read_quantity(entry.value, spec.dimension, scope, quote(spec.name))
    if spec.name not in SIGNED:
        found = positive(found, entry.value, scope, quote(spec.name))
    if found is not None and spec.dimension == "count" and found.value != int(found.value):
        scope.notes.add(
            faults.OUT_OF_RANGE, entry.value.span, f"{quote(spec.name)} is {found}.", "Write a whole number of times."
        )
        return None
    return None if found is None else (spec.name, found)


def _ref(fields: Fields, spec: RefSpec, scope: Scope) -> tuple[str, ...]:
    entry = fields.entry(spec.name)
    if entry is None:
        return ()
    nodes: list[Node] = entry.value.items if isinstance(entry.value, Listing) else [entry.value]
    if (isinstance(entry.value, Listing) and not spec.many) or not nodes:
        scope.notes.add(
            faults.WRONG_TYPE,
            entry.value.span,
            f"{quote(spec.name)} takes {'the names of parts' if spec.many else 'the name of one part'}.",
            f"Write for example `{spec.name}: {_example(spec)}`.",
        )
        return ()
    ids = []
    for node in nodes:
        if isinstance(node, Scalar) and isinstance(node.value, str) and node.value:
            ids.append(node.text)
        else:
            scope.notes.add(
                faults.WRONG_TYPE,
                node.span,
                f"{quote(spec.name)} takes the name of a part, but here is {described(node)}.",
                f"Write for example `{spec.name}: {_example(spec)}`.",
            )
    return tuple(ids)


def _word(fields: Fields, spec: WordSpec, scope: Scope) -> tuple[str, str] | None:
    node = fields.scalar(spec.name)
    if node is None:
        return None
    if spec.choices and node.text not in spec.choices:
        scope.notes.add(
            faults.UNKNOWN_WORD,
            node.span,
            f"{quote(node.text)} is not a word for {quote(spec.name)}.",
            did_you_mean(node.text, spec.choices, what="Choose one of"),
        )
        return None
    return spec.name, node.text


def note_refs(entry: Entry, scope: Scope) -> None:
    """Note references of a part that lead nowhere or to a part of the wrong kind."""
    kind = kind_of(entry, scope)
    if kind is None or not isinstance(entry.value, Mapping):
        return
    for spec in kind.refs:
        found = entry.value.get(spec.name)
        nodes = [] if found is None else found.value.items if isinstance(found.value, Listing) else [found.value]
        for node in nodes:
            if not isinstance(node, Scalar) or not isinstance(node.value, str) or not node.value:
                continue
            info = scope.known_part(node)
            scope.kind_fits(info, spec.kinds, node.span, f"{quote(spec.name)} of {quote(entry.key)} must be")
            if info is not None and info.id == entry.key:
                scope.notes.add(
                    faults.WRONG_KIND, node.span, f"{quote(entry.key)} refers to itself.", "Name the part it belongs to."
                )
