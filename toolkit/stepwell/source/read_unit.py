"""``unit.yaml`` and ``terms.yaml``."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

from stepwell.model.quantity import Quantity
from stepwell.model.unit import Number, Role, Synonym, Unit, WordList
from stepwell.source import faults
from stepwell.source.fields import Fields, described, first_span, mapping_of, note_name
from stepwell.source.near import did_you_mean, quote
from stepwell.source.nodes import Entry, Listing, Mapping, Node, Scalar
from stepwell.source.read_policy import read_policy
from stepwell.source.read_quantity import positive, read_quantity
from stepwell.source.read_review import read_places, read_review
from stepwell.source.read_text import scalar_text
from stepwell.source.scope import Scope
from stepwell.source.sections import NUMBER, ROLE, TERMS, TERMS_IN, UNIT, Section

_MARK = re.compile(r"[A-Z][A-Z0-9]{0,2}")
LANGUAGE = re.compile(r"[a-z]{2,3}(?:-[A-Za-z0-9]{2,8}){0,2}")
"""The code of a language."""
READING_DISTANCE = Quantity(Decimal(60), "cm")


def read_unit(root: Node, scope: Scope) -> Unit | None:
    """The unit of ``unit.yaml``, as far as it can be read; None if the file is no mapping."""
    node = mapping_of(root, UNIT, scope.notes, what="unit.yaml", example="unit: Northmoor ECMO unit")
    if node is None:
        return None
    fields = Fields(node, UNIT, scope.notes, first_span(node)).check()
    distance = fields.entry("reading-distance")
    found = None if distance is None else read_quantity(distance.value, "length", scope, "`reading-distance`")
    if distance is not None:
        found = positive(found, distance.value, scope, "`reading-distance`")
    return Unit(
        name=fields.text("unit"),
        region=fields.text("region"),
        languages=_languages(fields, scope),
        roles=_roles(fields, scope),
        numbers=_numbers(fields, scope),
        reading_distance=found or READING_DISTANCE,
        notice=fields.text("notice"),
        policy=read_policy(fields, scope),
        review=read_review(fields, _with_roles(node, scope)),
        places=read_places(fields, scope),
        path=scope.notes.path,
    )


def _with_roles(node: Mapping, scope: Scope) -> Scope:
    """The scope once the unit's own roles are known."""
    return replace(scope, roles=names_of(node, "roles") or None)


def _languages(fields: Fields, scope: Scope) -> tuple[str, ...]:
    found = []
    for item in fields.listing("languages", empty=False):
        node = scalar_text(item, scope, "A language", "languages: [en]")
        if node is not None and not LANGUAGE.fullmatch(node.text):
            scope.notes.add(
                faults.UNKNOWN_WORD,
                node.span,
                f"{quote(node.text)} is not the code of a language.",
                "Write for example `en`.",
            )
        elif node is not None:
            found.append(node.text)
    return tuple(dict.fromkeys(found)) or ("en",)


def _inner(entry: Entry, section: Section, scope: Scope, example: str) -> Fields | None:
    note_name(scope.notes, entry.key, entry.key_span, f"the id of {section.noun.removeprefix('the ')}")
    if not isinstance(entry.value, Mapping):
        scope.notes.add(
            faults.WRONG_TYPE,
            entry.value.span if not isinstance(entry.value, Scalar) or entry.value.text else entry.key_span,
            f"{quote(entry.key)} takes a group of `key: value`, but here is {described(entry.value)}.",
            f"Write for example `{entry.key}: {example}`.",
        )
        return None
    return Fields(entry.value, section, scope.notes, entry.key_span, f"{section.noun} {quote(entry.key)}").check()


def _roles(fields: Fields, scope: Scope) -> tuple[Role, ...]:
    mapping = fields.mapping("roles")
    found: list[Role] = []
    if mapping is not None and not mapping.entries:
        scope.notes.add(
            faults.EMPTY_VALUE, mapping.span, "`roles` has nothing in it.", "Add at least one role, such as `nurse`."
        )
    for entry in () if mapping is None else mapping.entries.values():
        inner = _inner(entry, ROLE, scope, "{label: Nurse, mark: N}")
        if inner is None:
            continue
        mark = inner.scalar("mark")
        if mark is not None and not _MARK.fullmatch(mark.text):
            scope.notes.add(
                faults.MALFORMED_ID,
                mark.span,
                f"{quote(mark.text)} can't be a mark: one to three capital letters or digits, a letter first.",
                f"Write for example `mark: {entry.key[:2].upper()}`.",
            )
        same = next((role for role in found if mark is not None and role.mark == mark.text), None)
        if same is not None and mark is not None:
            scope.notes.add(
                faults.DUPLICATE_NAME,
                mark.span,
                f"{quote(same.id)} has the mark {quote(mark.text)} already.",
                "Give each role a mark of its own.",
            )
        found.append(Role(id=entry.key, label=inner.text("label"), mark="" if mark is None else mark.text))
    return tuple(found)


def _numbers(fields: Fields, scope: Scope) -> tuple[Number, ...]:
    mapping = fields.mapping("numbers")
    found: list[Number] = []
    for entry in () if mapping is None else mapping.entries.values():
        inner = _inner(entry, NUMBER, scope, "{value: 4 L/min}")
        value = None if inner is None else inner.entry("value")
        if inner is None or value is None:
            continue
        quantity = read_quantity(value.value, None, scope, "`value`")
        note = inner.text("note")
        if quantity is not None:
            found.append(Number(name=entry.key, value=quantity, note=note, span=entry.key_span))
    return tuple(found)


def names_of(root: Node | None, key: str) -> tuple[str, ...]:
    """The keys of a mapping inside a file, even of one that is otherwise broken; says nothing."""
    entry = root.get(key) if isinstance(root, Mapping) else None
    return tuple(entry.value.entries) if entry is not None and isinstance(entry.value, Mapping) else ()


def with_terms(unit: Unit, root: Node, scope: Scope) -> Unit:
    """The unit with the words of ``terms.yaml``."""
    node = mapping_of(root, TERMS, scope.notes, what="terms.yaml", example="avoid: {as required: state the value}")
    if node is None:
        return unit
    fields = Fields(node, TERMS, scope.notes, first_span(node)).check()
    synonyms, word_lists = _synonyms(fields, scope), _word_lists(unit, fields, scope)
    mapping = fields.mapping("avoid")
    avoid = []
    for entry in () if mapping is None else mapping.entries.values():
        instead = scalar_text(entry.value, scope, "What to write instead", "as required: state the value")
        if instead is not None:
            avoid.append((entry.key, instead.text.strip()))
    return replace(unit, synonyms=synonyms, word_lists=word_lists, avoid=tuple(avoid))


def _synonyms(fields: Fields, scope: Scope) -> tuple[Synonym, ...]:
    return tuple(Synonym(words=words) for item in fields.listing("synonyms") if (words := _group(item, scope)))


def _word_lists(unit: Unit, fields: Fields, scope: Scope) -> tuple[WordList, ...]:
    mapping = fields.mapping("languages")
    found, roles = [], [role.id for role in unit.roles]
    for entry in () if mapping is None else mapping.entries.values():
        inner = _inner(entry, TERMS_IN, scope, "{synonyms: [[Luftembolie, Blasen]]}")
        if inner is None:
            continue
        who = inner.scalar("reviewed-by")
        if who is not None and who.text not in roles:
            scope.notes.add(
                faults.UNKNOWN_ROLE,
                who.span,
                f"The unit has no role {quote(who.text)}.",
                did_you_mean(who.text, roles, what="Its roles are"),
            )
        reviewed = who.text if who is not None and who.text in roles else ""
        found.append(WordList(language=entry.key, synonyms=_synonyms(inner, scope), reviewed_by=reviewed))
    return tuple(found)


def _group(node: Node, scope: Scope) -> tuple[str, ...]:
    if not isinstance(node, Listing) or len(node.items) < 2:
        scope.notes.add(
            faults.WRONG_TYPE,
            node.span,
            "Words that mean the same are a list of two or more.",
            "Write for example `- [air embolism, air in circuit, bubbles]`.",
        )
        return ()
    found = (scalar_text(item, scope, "A word", "air embolism") for item in node.items)
    return tuple(word.text.strip() for word in found if word is not None)
