"""Schemas of conditions and actions, from the vocabulary."""

from __future__ import annotations

from stepwell.circuit.entry import Arity, FactEntry, OptionSpec, Verb
from stepwell.source.read_selection import plurals
from stepwell.source.schema_parts import (
    AMOUNT,
    FLAG,
    WORD,
    Schema,
    chosen,
    described,
    has,
    many,
    one_or_more,
    ref,
    section,
    words,
)
from stepwell.source.sections import QUANTIFIED, SELECTOR
from stepwell.source.short_forms import CIRCULATE, LIKE_A_VERB
from stepwell.source.short_sections import SELECTED, SITE, SPELL
from stepwell.source.vocabulary import Vocabulary


def condition_definitions(vocabulary: Vocabulary) -> dict[str, Schema]:
    """``condition`` and what it is made of."""
    properties: dict[str, Schema] = {
        "not": described(ref("condition"), "The opposite. Example: {not: {open: vent}}"),
        "all": described(many(ref("condition")), "Every one of these. Example: {all: [{shut: vent}, {stopped: pump}]}"),
        "any": described(many(ref("condition")), "At least one of these. Example: {any: [{shut: vent}, {stopped: pump}]}"),
    }
    for fact in vocabulary.facts:
        properties[fact.name] = described(_fact(fact), _fact_hint(fact))
    one: Schema = {
        "title": "Condition",
        "description": "One fact and what it is said of, or `all`, `any`, `not`, `for-every`, `for-some`.",
        "type": "object",
        "properties": properties,
        "additionalProperties": False,
        "minProperties": 1,
        "maxProperties": 1,
    }
    found: dict[str, Schema] = {
        "condition": chosen([(has(word), ref(word)) for word in QUANTIFIED], one),
        "selector": selector(vocabulary),
    }
    for word, entry in QUANTIFIED.items():
        letters: Schema = {"type": "object", "additionalProperties": ref("selector"), "minProperties": 1, "maxProperties": 1}
        found[word] = section(entry, {word: letters, "holds": ref("condition")})
    return found


def seen(vocabulary: Vocabulary) -> Schema:
    """A condition of a lasting state that somebody at the bedside can tell."""
    hidden = [fact.name for fact in vocabulary.facts if fact.passing or not fact.observed]
    return {"allOf": [ref("condition"), {"propertyNames": {"not": {"enum": hidden}}}]}


def selector(vocabulary: Vocabulary) -> Schema:
    """Which parts a letter stands for."""
    traits = words(*dict.fromkeys(trait for kind in vocabulary.part_kinds for trait, _ in kind.traits))
    values = {
        "kind": words(*(kind.name for kind in vocabulary.part_kinds)),
        "trait": traits,
        "traits": many(traits, 0),
        "without": one_or_more(traits),
    }
    return section(SELECTOR, values)


def _fact(fact: FactEntry) -> Schema:
    if not fact.args:
        return {"enum": [True, []]}
    values = [words(*arg.choices) if arg.choices else WORD for arg in fact.args]
    if len(values) == 1:
        return one_or_more(values[0])
    return {"type": "array", "items": values, "minItems": len(values), "maxItems": len(values)}


def _fact_hint(fact: FactEntry) -> str:
    told = f"Told by {', '.join(fact.observed)}." if fact.observed else "Nobody can observe it."
    args = ", ".join(arg.name for arg in fact.args)
    example = (
        f"{{{fact.name}: true}}" if not fact.args else f"{{{fact.name}: {args if len(fact.args) == 1 else f'[{args}]'}}}"
    )
    passing = " True only at the moment when it happens." if fact.passing else ""
    return f"{fact.summary}{passing} {told} Write {example}"


def action_definition(vocabulary: Vocabulary) -> Schema:
    """One mapping with one verb and the options of that verb."""
    properties: dict[str, Schema] = {}
    rules: list[Schema] = []
    for verb in (*vocabulary.verbs, *LIKE_A_VERB.values()):
        own = _own(verb)
        for option in verb.options:
            if option is not own and option.name not in properties:
                properties[option.name] = described(_any_option(option.name, vocabulary), option.summary.capitalize() + ".")
    for verb in (*vocabulary.verbs, *LIKE_A_VERB.values()):
        properties[verb.name] = described(_verb(verb), verb.summary)
        options = [option for option in verb.options if option is not _own(verb)]
        allowed: Schema = {"propertyNames": {"enum": [verb.name, *(option.name for option in options)]}}
        allowed["properties"] = {option.name: _option(option) for option in options}
        needed = [option.name for option in options if option.required]
        rules.append({"if": {"required": [verb.name]}, "then": allowed | ({"required": needed} if needed else {})})
    properties[CIRCULATE] = described(many(ref("spell")), "Run and stop the pump in spells.")
    properties["drive"] = described(WORD, "The drive that circulates, where the rig has several.")
    rules.append({"if": {"required": [CIRCULATE]}, "then": {"propertyNames": {"enum": [CIRCULATE, "drive"]}}})
    return {
        "title": "Action",
        "description": "One verb, the part it is done to, and its options. Example: {run: pump, at: 2800 rpm, for: 90 s}",
        "type": "object",
        "properties": properties,
        "additionalProperties": False,
        "oneOf": [{"required": [name]} for name in (*(verb.name for verb in vocabulary.verbs), *LIKE_A_VERB, CIRCULATE)],
        "allOf": rules,
    }


def _own(verb: Verb) -> OptionSpec | None:
    if verb.arity is not Arity.NONE:
        return None
    return next(iter((*(option for option in verb.options if option.required), *verb.options)), None)


def _verb(verb: Verb) -> Schema:
    match verb.arity:
        case Arity.PAIR:
            return {"type": "array", "items": WORD, "minItems": 2, "maxItems": 2}
        case Arity.NONE:
            own = _own(verb)
            return {} if own is None else _option(own)
        case _:
            return one_or_more(chosen([({"type": "object"}, ref("selection"))], WORD))


def selection_definitions(vocabulary: Vocabulary) -> dict[str, Schema]:
    """``selection``, parts chosen by what they are or where they sit, and the ``spell`` of a circulation."""
    traits = words(*dict.fromkeys(trait for kind in vocabulary.part_kinds for trait, _ in kind.traits))
    kinds = words(*(word for kind in vocabulary.part_kinds for word in plurals(kind.name)))
    values = {
        "all": kinds,
        "trait": traits,
        "traits": many(traits, 0),
        "without": one_or_more(traits),
        "on": one_or_more(WORD),
    }
    speed: Schema = {"type": ["string", "integer"], "minLength": 1, "minimum": 1}
    return {
        "selection": chosen([(has("before", "after"), ref("site"))], ref("selected")),
        "selected": section(SELECTED, values),
        "site": section(SITE, {"before": WORD, "after": WORD}, maxProperties=1),
        "spell": section(
            SPELL,
            {"rpm": speed, "for": AMOUNT, "stop": AMOUNT},
            oneOf=[{"required": ["rpm", "for"]}, {"required": ["stop"], "maxProperties": 1}],
        ),
    }


def _option(option: OptionSpec) -> Schema:
    if option.takes == "flag":
        return FLAG
    if option.takes == "word":
        return words(*option.choices) if option.choices else WORD
    return AMOUNT


def _any_option(name: str, vocabulary: Vocabulary) -> Schema:
    """What an option may be with any verb that has it; each verb narrows it down."""
    found: list[Schema] = []
    for verb in (*vocabulary.verbs, *LIKE_A_VERB.values()):
        found.extend(_option(option) for option in verb.options if option.name == name and _option(option) not in found)
    return found[0] if len(found) == 1 else {"anyOf": found}
