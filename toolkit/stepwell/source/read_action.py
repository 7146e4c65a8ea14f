"""What a step does: verbs on parts, with their options."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from stepwell.circuit.entry import Arity, OptionSpec, Verb
from stepwell.model.procedure import Action
from stepwell.model.quantity import Quantity
from stepwell.source import faults
from stepwell.source.amounts import example_of
from stepwell.source.as_written import as_written
from stepwell.source.fields import Fields, described
from stepwell.source.near import did_you_mean, listed, nearest, quote
from stepwell.source.nodes import Entry, Listing, Mapping, Node, Scalar
from stepwell.source.notes import EnoughError
from stepwell.source.read_quantity import positive, read_quantity
from stepwell.source.read_selection import read_selection
from stepwell.source.read_short import read_circulate, written_out
from stepwell.source.scope import Scope
from stepwell.source.sections import TOGETHER
from stepwell.source.short_forms import CIRCULATE, LIKE_A_VERB, LONG

MOST_WRITTEN = 2000
"""Actions that the short forms of one procedure may stand for; the search could not follow more anyway."""
Options = tuple[tuple[str, str | bool | Quantity], ...]


def read_do(entry: Entry, scope: Scope) -> tuple[tuple[Action, ...], bool]:
    """The actions of a ``do``, and whether they are done at once."""
    node = entry.value
    if isinstance(node, Mapping) and "together" in node.entries:
        fields = Fields(node, TOGETHER, scope.notes, entry.key_span).check()
        return read_at_once(fields, "together", scope), True
    if isinstance(node, Listing):
        if not node.items:
            scope.notes.add(faults.EMPTY_VALUE, node.span, "`do` has nothing in it.", "Name an action, or delete the key.")
        return _sequence(node.items, scope), False
    return _sequence([node], scope), False


def read_at_once(fields: Fields, key: str, scope: Scope) -> tuple[Action, ...]:
    """The actions of a list that are done in one movement."""
    nodes = fields.listing(key, empty=False)
    for entry in (entry for node in nodes if isinstance(node, Mapping) for entry in node.entries.values()):
        if entry.key in LONG:
            scope.notes.add(
                faults.MIXED_ITEM,
                entry.key_span,
                f"{quote(entry.key)} is several actions one after another, so it can't be part of one movement.",
                "Give it a step of its own.",
            )
    return _sequence(nodes, scope)


def _sequence(nodes: list[Node], scope: Scope) -> tuple[Action, ...]:
    return tuple(action for node in nodes for action in read_action(node, scope))


def read_action(node: Node, scope: Scope) -> tuple[Action, ...]:
    """One mapping: a verb, its parts, its options. A list of parts is that many actions."""
    verbs = scope.vocabulary.verbs_by_name
    if not isinstance(node, Mapping) or not node.entries:
        mend = "Write a verb and its part, for example `{open: prime-clamp}`."
        if isinstance(node, Scalar) and (guess := nearest(node.text.partition(" ")[0], verbs)):
            said = node.text.partition(" ")[2].removeprefix("the ").strip()
            part = scope.labelled(said) or nearest(said, scope.parts or ()) or said
            mend = f"Write for example `{{{guess}: {part or 'prime-clamp'}}}`."
        scope.notes.add(faults.WRONG_TYPE, node.span, f"An action is needed here, but here is {described(node)}.", mend)
        return ()
    if "together" in node.entries:
        scope.notes.add(
            faults.TOGETHER_IN_LIST,
            node.entries["together"].key_span,
            "`together` can't stand in a list of actions.",
            "Make it the whole `do` of a step, and give the others a step of their own.",
        )
        return ()
    named = [key for key in node.entries if key in verbs or key in LIKE_A_VERB or key == CIRCULATE]
    if len(named) != 1:
        _not_one_verb(node, named, scope)
        return ()
    if named[0] == CIRCULATE:
        return read_circulate(node, scope)
    verb = LIKE_A_VERB.get(named[0]) or verbs[named[0]]
    entry = node.entries[verb.name]
    options = _options(node, verb, scope)
    return tuple(each for action in _on_parts(entry, verb, options, scope) for each in written_out(action, scope))


def _not_one_verb(node: Mapping, named: list[str], scope: Scope) -> None:
    verbs = scope.vocabulary.verbs_by_name
    first = next(iter(node.entries.values()))
    if named:
        each = ", ".join(f"{{{name}: {as_written(node.entries[name].value)}}}" for name in named[:3])
        scope.notes.add(
            faults.MIXED_ITEM,
            node.entries[named[1]].key_span,
            f"One action has one verb, but here are {listed(named)}.",
            f"Write them as a list: `[{each}]`.",
        )
        return
    by_word = [verb.name for verb in scope.vocabulary.verbs if first.key.lower() in verb.words]
    mend = did_you_mean(first.key, (*verbs, *LIKE_A_VERB, CIRCULATE), what="Verbs are", most=60)
    if by_word:
        mend = f"Did you mean {' or '.join(quote(name) for name in by_word)}?"
    scope.notes.add(faults.UNKNOWN_VERB, first.key_span, f"{quote(first.key)} is not an action that the tool knows.", mend)


def _own_option(verb: Verb) -> OptionSpec | None:
    """The option that a verb without parts takes as its own value: the first it needs, or the first it has."""
    if verb.arity is not Arity.NONE:
        return None
    needed = [option for option in verb.options if option.required]
    return next(iter((*needed, *verb.options)), None)


def _options(node: Mapping, verb: Verb, scope: Scope) -> Options:
    own = _own_option(verb)
    specs = {option.name: option for option in verb.options if option is not own}
    found: list[tuple[str, str | bool | Quantity]] = []
    for entry in node.entries.values():
        if entry.key == verb.name:
            continue
        spec = specs.get(entry.key)
        if spec is None:
            mend = did_you_mean(entry.key, specs, what="It has") or "It has no options."
            if isinstance(entry.value, Scalar) and entry.value.value is None and entry.key in (scope.parts or {}):
                both = f"{as_written(node.entries[verb.name].value)}, {entry.key}"
                mend = f"Put parts that belong together in brackets: `{{{verb.name}: [{both}]}}`."
            scope.notes.add(
                faults.UNKNOWN_KEY, entry.key_span, f"{quote(entry.key)} means nothing with {quote(verb.name)}.", mend
            )
            continue
        value = _option_value(entry.value, spec, verb, scope)
        if value is not None:
            found.append((spec.name, value))
    for spec in specs.values():
        if spec.required and spec.name not in node.entries:
            scope.notes.add(
                faults.OPTION_MISSING,
                node.entries[verb.name].key_span,
                f"{quote(verb.name)} needs {quote(spec.name)}: {spec.summary}.",
                f"Write for example `{{{verb.name}: {as_written(node.entries[verb.name].value)}, "
                f"{spec.name}: {_example(spec)}}}`.",
            )
    return tuple(found)


def _example(spec: OptionSpec) -> str:
    if spec.choices:
        return spec.choices[0]
    return "true" if spec.takes == "flag" else example_of(spec.takes)


def _option_value(node: Node, spec: OptionSpec, verb: Verb, scope: Scope) -> str | bool | Quantity | None:
    what = f"{quote(spec.name)} of {quote(verb.name)}"
    if spec.takes == "flag":
        if isinstance(node, Scalar) and isinstance(node.value, bool):
            return node.value
        scope.notes.add(
            faults.WRONG_TYPE,
            node.span,
            f"{what} takes true or false, but here is {described(node)}.",
            f"Write `{spec.name}: true`, or leave it out.",
        )
        return None
    if spec.takes != "word":
        return positive(read_quantity(node, spec.takes, scope, what, named=True), node, scope, what)
    if isinstance(node, Scalar) and isinstance(node.value, str) and (node.text in spec.choices or not spec.choices):
        return node.text
    said = node.text if isinstance(node, Scalar) else ""
    scope.notes.add(
        faults.UNKNOWN_WORD,
        node.span,
        f"{what} can't be {quote(said) if said else described(node)}.",
        did_you_mean(said, spec.choices, what="Choose one of"),
    )
    return None


def _on_parts(entry: Entry, verb: Verb, options: Options, scope: Scope) -> tuple[Action, ...]:
    action = Action(verb=verb.name, options=options, span=entry.span)
    if verb.arity is Arity.NONE:
        return _without_parts(entry, verb, action, scope)
    nodes = entry.value.items if isinstance(entry.value, Listing) else [entry.value]
    if verb.arity is Arity.PAIR:
        if len(nodes) != 2:
            scope.notes.add(
                faults.WRONG_NUMBER_OF_PARTS,
                entry.value.span,
                f"{quote(verb.name)} takes two parts.",
                f"Write `{{{verb.name}: [{_two_parts(verb, scope, nodes)}]}}`.",
            )
            return ()
        parts = [_part(node, verb, place, scope) for place, node in enumerate(nodes)]
        if None not in parts and parts[0] == parts[1]:
            scope.notes.add(
                faults.WRONG_NUMBER_OF_PARTS, entry.value.span, f"{quote(parts[0])} is named twice.", "Name two parts."
            )
        return (replace(action, parts=tuple(part for part in parts if part is not None)),)
    if not nodes:
        scope.notes.add(faults.EMPTY_VALUE, entry.value.span, f"{quote(verb.name)} names no part.", "Name a part.")
    return tuple(each for node in nodes for each in _on_each(node, entry, verb, action, scope))


def _on_each(node: Node, entry: Entry, verb: Verb, action: Action, scope: Scope) -> tuple[Action, ...]:
    """The actions of one item: one for a part that is named, as many as fit for a choice of parts."""
    span = node.span if isinstance(entry.value, Listing) else entry.span
    if isinstance(node, Mapping) and node.entries:
        parts, via = read_selection(node, verb, scope)
        scope.written += len(parts)
        if scope.written > MOST_WRITTEN:
            scope.notes.add(
                faults.OUT_OF_RANGE,
                node.span,
                f"Short forms stand for more than {MOST_WRITTEN} actions in this procedure.",
                "Choose fewer parts, or make it several procedures.",
            )
            raise EnoughError
        return tuple(replace(action, parts=(part,), via=via, span=span) for part in parts)
    part = _part(node, verb, 0, scope)
    return () if part is None else (replace(action, parts=(part,), span=span),)


def _two_parts(verb: Verb, scope: Scope, nodes: Sequence[Node]) -> str:
    """Two parts as an example: of this rig where it has such parts, the first as it is written already."""
    parts = scope.parts or {}
    fitting = [[name for name, part in parts.items() if part.kind and part.kind.name in kinds] for kinds in verb.pairs]
    given = [node.text for node in nodes[:1] if isinstance(node, Scalar) and node.text in fitting[0]]
    first = given[0] if given else fitting[0][0] if fitting[0] else f"the-{verb.pairs[0][0]}"
    second = next((name for name in fitting[1] if name != first), f"the-{verb.pairs[1][0]}")
    return f"{first}, {second}"


def _without_parts(entry: Entry, verb: Verb, action: Action, scope: Scope) -> tuple[Action, ...]:
    own = _own_option(verb)
    if own is None:
        return (action,)
    value = _option_value(entry.value, own, verb, scope)
    return () if value is None else (replace(action, options=((own.name, value), *action.options)),)


def _part(node: Node, verb: Verb, place: int, scope: Scope) -> str | None:
    if not isinstance(node, Scalar) or not isinstance(node.value, str) or not node.value:
        scope.notes.add(
            faults.WRONG_TYPE,
            node.span,
            f"{quote(verb.name)} takes the name of a part, but here is {described(node)}.",
            f"Write for example `{{{verb.name}: prime-clamp}}`.",
        )
        return None
    info = scope.known_part(node)
    kinds = verb.pairs[place] if place < len(verb.pairs) else ()
    if info is not None and info.kind is not None and kinds and info.kind.name not in kinds:
        fitting = [other.name for other in scope.vocabulary.verbs if other.pairs and info.kind.name in other.pairs[0]]
        scope.notes.add(
            faults.WRONG_KIND,
            node.span,
            f"{quote(verb.name)} can't be done to {quote(info.id)}, which is of the kind {quote(info.kind.name)}; "
            f"it is for {listed(kinds)}.",
            f"What can be done to a {info.kind.name}: {listed(fitting)}.",
        )
    return node.text
