"""A whole rule file."""

from __future__ import annotations

import re

from stepwell.circuit.entry import Arity, Verb
from stepwell.diagnostics.severity import Certainty, Severity
from stepwell.model.predicate import ALWAYS, AnyOf, Predicate, Ref, Selector
from stepwell.model.rule import AtTheEnd, Becomes, BeforeDoing, Never, Order, Rule, Shape, Source
from stepwell.source import faults
from stepwell.source.fields import Fields, first_span, mapping_of
from stepwell.source.near import did_you_mean, listed, quote
from stepwell.source.nodes import Node
from stepwell.source.read_policy import read_policy
from stepwell.source.read_predicate import Asked, bind, read_predicate, read_ref, read_selector
from stepwell.source.read_procedure import KINDS
from stepwell.source.read_shapes import read_other_shape
from stepwell.source.read_step import SEVERITIES
from stepwell.source.read_text import placeholders, scalar_text
from stepwell.source.scope import Scope
from stepwell.source.sections import DOING, ORDER, RULE, RULE_SOURCE

SHAPES = ("never", "never-longer", "becomes", "before-doing", "at-the-end", "order", "within", "enough", "match")
MARKS = ("seen", "from memory", "physics", "common practice")
_GOES_WITH = {"unless": "becomes", "hand-over": "at-the-end", "require": "before-doing", "than": "never-longer"}
_CODE = re.compile(r"[A-Z]{1,4}[0-9]{1,4}")
_HAZARD = re.compile(r"[A-Z][A-Z0-9]{0,2}[0-9]{1,3}[a-z]?")
_NOTHING = AnyOf(())


def read_rule(root: Node, scope: Scope, *, built_in: bool) -> Rule | None:
    """The rule of a file; None if it has no shape that could be read. ``scope.parts`` are the parts of all rigs."""
    scope.rule = True
    node = mapping_of(root, RULE, scope.notes, what="A rule", example="rule: sensor-zeroed-wet")
    if node is None:
        return None
    name = node.get("rule")
    fields = Fields(node, RULE, scope.notes, first_span(node)).check()
    bound = _bound(fields, scope)
    shape = _shape(fields, scope)
    when = fields.entry("when")
    context = ALWAYS if when is None else read_predicate(when.value, scope, Asked.ANYTHING)
    rule_name = fields.named("rule", "the name of a rule")
    if shape is None:
        return None
    return Rule(
        name=rule_name,
        code=_code(fields, scope, built_in=built_in),
        hazards=_words(fields, "hazards", scope),
        title=fields.text("title"),
        severity=Severity[fields.word("severity", SEVERITIES, "serious").upper()],
        certainty=Certainty(fields.word("certainty", tuple(word.value for word in Certainty), "could")),
        harm=fields.text("harm"),
        control=fields.text("control"),
        sources=tuple(found for item in fields.listing("sources", empty=False) if (found := _source(item, scope))),
        not_checked=fields.text("not-checked"),
        for_every=bound,
        shape=shape,
        when=context,
        procedures=_words(fields, "procedures", scope),
        policy=read_policy(fields, scope),
        core=fields.flag("core"),
        message=_sentence(fields, "message", bound, scope),
        mend=_sentence(fields, "mend", bound, scope),
        path=scope.notes.path,
        span=None if name is None else name.span,
    )


def _bound(fields: Fields, scope: Scope) -> tuple[tuple[str, Selector], ...]:
    mapping = fields.mapping("for-every")
    found = []
    for entry in () if mapping is None else mapping.entries.values():
        selector = read_selector(entry, scope)
        bind(entry.key, entry.key_span, selector, scope)
        found.append((entry.key, selector))
    return tuple(found)


def _shape(fields: Fields, scope: Scope) -> Shape | None:
    found = [shape for shape in SHAPES if fields.has(shape)]
    if len(found) != 1:
        span = fields.node.entries[found[1]].key_span if found else fields.handle
        if found:
            message = f"A rule forbids one thing, but here are {listed(found)}."
            mend = "Make a rule of its own for each."
        else:
            message = "The rule does not say what it forbids."
            mend = f"Add one of {listed(SHAPES)}."
        scope.notes.add(faults.NO_SHAPE, span, message, mend)
        return None
    for key, shape in _GOES_WITH.items():
        if fields.has(key) and shape != found[0]:
            scope.notes.add(
                faults.UNKNOWN_KEY,
                fields.node.entries[key].key_span,
                f"{quote(key)} goes with {quote(shape)}, but the rule has {quote(found[0])}.",
                f"Delete it, or use {quote(shape)}.",
            )
    match found[0]:
        case "never":
            return Never(state=_condition(fields, "never", ALWAYS, scope))
        case "becomes":
            event = _condition(fields, "becomes", ALWAYS, scope)
            return Becomes(event=event, unless=_condition(fields, "unless", _NOTHING, scope))
        case "at-the-end":
            require = _condition(fields, "at-the-end", ALWAYS, scope)
            return AtTheEnd(require=require, hand_over=fields.flag("hand-over") or not fields.has("hand-over"))
        case "before-doing":
            return _before_doing(fields, scope)
        case "order":
            return _order(fields, scope)
        case name:
            return read_other_shape(name, fields, scope)


def _condition(fields: Fields, key: str, default: Predicate, scope: Scope) -> Predicate:
    entry = fields.entry(key)
    return default if entry is None else read_predicate(entry.value, scope, Asked.ANYTHING)


def _before_doing(fields: Fields, scope: Scope) -> Shape | None:
    entry = fields.node.entries["before-doing"]
    if not fields.has("require"):
        scope.notes.add(
            faults.MISSING_KEY,
            entry.key_span,
            "`before-doing` has no `require`: what must be so before it is done.",
            "Add for example `require: {dry: s.site}`.",
        )
    doing = _doing(entry.value, scope, "`before-doing`")
    require = _condition(fields, "require", ALWAYS, scope)
    return None if doing is None else BeforeDoing(verb=doing[0], part=doing[1], require=require)


def _order(fields: Fields, scope: Scope) -> Shape | None:
    entry = fields.node.entries["order"]
    example = "order: {first: {verb: stop, part: p}, then: {verb: gas-off, part: g}}"
    node = mapping_of(entry.value, ORDER, scope.notes, what="`order`", example=example)
    if node is None:
        return None
    inner = Fields(node, ORDER, scope.notes, entry.key_span).check()
    first, then = inner.entry("first"), inner.entry("then")
    one = None if first is None else _doing(first.value, scope, "`first`")
    two = None if then is None else _doing(then.value, scope, "`then`")
    return None if one is None or two is None else Order(first=one, then=two)


def _doing(node: Node, scope: Scope, what: str) -> tuple[str, Ref | None] | None:
    found = mapping_of(node, DOING, scope.notes, what=what, example="{verb: zero, part: s}")
    if found is None:
        return None
    fields = Fields(found, DOING, scope.notes, first_span(found)).check()
    verb_node, part = fields.scalar("verb"), fields.scalar("part")
    verb: Verb | None = None
    if verb_node is not None:
        verb = scope.vocabulary.verbs_by_name.get(verb_node.text)
        if verb is None:
            scope.notes.add(
                faults.UNKNOWN_VERB,
                verb_node.span,
                f"{quote(verb_node.text)} is not an action that the tool knows.",
                did_you_mean(verb_node.text, scope.vocabulary.verbs_by_name, what="Verbs are", most=40),
            )
    kinds = tuple(dict.fromkeys(kind for place in verb.pairs for kind in place)) if verb is not None else ()
    ref = None if part is None else read_ref(part, kinds, scope, f"{quote(verb.name)} is done to" if verb else "It is")
    if part is not None and verb is not None and verb.arity is Arity.NONE:
        scope.notes.add(faults.WRONG_NUMBER_OF_PARTS, part.span, f"{quote(verb.name)} is done to no part.", "Delete `part`.")
    return None if verb is None else (verb.name, ref)


def _code(fields: Fields, scope: Scope, *, built_in: bool) -> str:
    node = fields.scalar("code")
    if node is None:
        return ""
    if not _CODE.fullmatch(node.text):
        scope.notes.add(
            faults.MALFORMED_ID,
            node.span,
            f"{quote(node.text)} can't be a code: one to four capital letters, then one to four digits.",
            "Write for example `code: U001`.",
        )
    elif node.text.startswith("SW") and not (built_in and node.text >= "SW100"):
        scope.notes.add(
            faults.RESERVED_CODE,
            node.span,
            f"{quote(node.text)}: codes that begin with SW belong to the tool's own rules.",
            "Use letters of your own, for example `code: U001`.",
        )
    return node.text


def _words(fields: Fields, key: str, scope: Scope) -> tuple[str, ...]:
    found = []
    for item in fields.listing(key):
        node = scalar_text(item, scope, "A word", f"{key}: [{'H01' if key == 'hazards' else 'routine'}]")
        if node is None:
            continue
        if key == "procedures" and node.text not in KINDS:
            mend = did_you_mean(node.text, KINDS, what="Kinds are")
            scope.notes.add(faults.UNKNOWN_WORD, node.span, f"{quote(node.text)} is no kind of procedure.", mend)
        elif key == "hazards" and not _HAZARD.fullmatch(node.text):
            scope.notes.add(
                faults.MALFORMED_ID, node.span, f"{quote(node.text)} can't be a hazard's number.", "Write for example `H01`."
            )
        found.append(node.text)
    return tuple(found)


def _source(node: Node, scope: Scope) -> Source | None:
    example = "{text: Hydrostatics., mark: physics}"
    found = mapping_of(node, RULE_SOURCE, scope.notes, what="A source", example=example)
    if found is None:
        return None
    fields = Fields(found, RULE_SOURCE, scope.notes, first_span(found)).check()
    return Source(text=fields.text("text"), mark=fields.word("mark", MARKS, MARKS[-1]))


def _sentence(fields: Fields, key: str, bound: tuple[tuple[str, Selector], ...], scope: Scope) -> str:
    node = fields.scalar(key)
    if node is None:
        return ""
    placeholders(node, (letter for letter, _ in bound), scope)
    return fields.text(key)
