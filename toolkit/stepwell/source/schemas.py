"""The JSON schemas of the files, built from the table of keys and the vocabulary so that they can't drift apart.

``python -m stepwell.source.schemas FOLDER`` writes them; a test compares what is checked in with what is built.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from stepwell.circuit.entry import PartKind
from stepwell.model.slip import Sort
from stepwell.source import sections as s
from stepwell.source import short_sections as short
from stepwell.source.amounts import example_of
from stepwell.source.read_items import GROUPS, MOST_REPEATS, SPLICED
from stepwell.source.read_part import ROAMING, specs_of
from stepwell.source.read_procedure import KINDS, USES
from stepwell.source.read_rig import RESERVED
from stepwell.source.read_rule import MARKS, SHAPES
from stepwell.source.read_step import SEVERITIES
from stepwell.source.schema_parts import (
    AMOUNT,
    DATE,
    FLAG,
    NAME,
    NAME_PATTERN,
    POLICY,
    QUANTITY,
    STEP_ID,
    TEXT,
    VERSION,
    WORD,
    Schema,
    chosen,
    described,
    document,
    has,
    many,
    one_or_more,
    ref,
    section,
    words,
)
from stepwell.source.schema_unit import terms_schema, unit_schema
from stepwell.source.schema_words import action_definition, condition_definitions, seen, selection_definitions
from stepwell.source.several_rigs import MOST_RIGS
from stepwell.source.short_forms import LONG
from stepwell.source.vocabulary import Vocabulary, built_in, state_words
from stepwell.source.write import write_aside

_STATE: Schema = {"type": "string", "minLength": 1}
_JOINED: Schema = {
    "description": "Pairs of ends that are joined. Example: joined: [[drain-end, return-end]]",
    "type": "array",
    "items": {"type": "array", "items": WORD, "minItems": 2, "maxItems": 2, "uniqueItems": True},
}

_CONNECTED: Schema = {
    "description": "Pairs of a gas supply and the gas source it is on. Example: connected: [[gas, wall]]",
    "type": "array",
    "items": {"type": "array", "items": WORD, "minItems": 2, "maxItems": 2},
}


def procedure_schema(vocabulary: Vocabulary) -> Schema:
    """``procedure.schema.json``."""
    definitions = {
        **condition_definitions(vocabulary),
        "action": action_definition(vocabulary),
        "movement": {"allOf": [ref("action"), {"not": {"anyOf": [{"required": [name]} for name in LONG]}}]},
        **selection_definitions(vocabulary),
        "item": chosen([(has(word), ref(word)) for word in (*SPLICED, *GROUPS)], ref("step")),
        "step": section(s.STEP, _step_values(), **{"not": {"required": ["do", "at-once"]}}),
        **_groups(),
        "expectation": chosen(
            [(has("reading", "at-least", "at-most"), ref("reading")), (has("see"), ref("sight"))], seen(vocabulary)
        ),
        "reading": section(
            s.READING,
            {"reading": WORD, "at-least": AMOUNT, "at-most": AMOUNT},
            anyOf=[{"required": ["at-least"]}, {"required": ["at-most"]}],
        ),
        "sight": section(s.SIGHT, {"see": TEXT}),
        "together": section(s.TOGETHER, {"together": many(ref("movement"))}),
        "to-step": section(s.TO_STEP, {"step": WORD}),
        "to-card": section(s.TO_CARD, {"card": WORD}),
        "warn": section(s.WARN, {"hazard": TEXT, "consequence": TEXT, "avoidance": TEXT, "severity": words(*SEVERITIES)}),
        "kit-item": section(
            s.KIT_ITEM,
            {"name": TEXT, "part": WORD, "amount": {"type": ["string", "integer"], "pattern": r"\S", "minimum": 1}},
            oneOf=[{"required": ["name"]}, {"required": ["part"]}],
        ),
        "from-procedure": section(s.FROM_PROCEDURE, {"procedure": WORD}),
        "open-state": section(s.OPEN_STATE, {"any": many(_STATE)}),
        "starts": _starts(),
    }
    body = section(s.PROCEDURE, _procedure_values())
    hint = "One procedure: who does what, with which set, from which state to which."
    return document("procedure", "Procedure", hint, body, definitions)


def _groups() -> dict[str, Schema]:
    """Everything in a body that is not a step."""
    steps = many(ref("item"))
    group = {"steps": steps}
    return {
        "stage": section(s.STAGE, {"stage": TEXT, **group}),
        "any-order": section(s.ANY_ORDER, {"any-order": TEXT, **group}),
        "lanes": section(s.LANES, {"lanes": TEXT, "of": many(ref("lane"))}),
        "lane": section(s.LANE, {"lane": WORD, **group}),
        "choose": section(s.CHOOSE, {"choose": TEXT, "id": STEP_ID, "who": WORD, "outcomes": many(ref("outcome"))}),
        "outcome": section(
            s.OUTCOME,
            {"label": TEXT, "when": ref("condition"), "steps": steps, "card": WORD, "end": FLAG},
            oneOf=[{"required": [key]} for key in ("steps", "card", "end")],
        ),
        "repeat": section(
            s.REPEAT,
            {
                "repeat": TEXT,
                "id": STEP_ID,
                "until": ref("condition"),
                "at-most": {"type": "integer", "minimum": 1, "maximum": MOST_REPEATS},
                **group,
            },
        ),
        "for-each": section(
            short.FOR_EACH,
            {
                "for-each": described(ref("letter"), "A letter and the parts it stands for."),
                "steps": many({"allOf": [ref("item"), {"not": {"required": ["for-each"]}}]}),
            },
        ),
        "letter": {"type": "object", "additionalProperties": ref("selector"), "minProperties": 1, "maxProperties": 1},
        "if-rig": section(short.IF_RIG, {"if-rig": ref("rig-condition"), **group, "otherwise": steps}),
        "rig-condition": _rig_condition(),
        "meet": section(short.MEET, {"meet": TEXT}),
        "hold": section(
            s.HOLD,
            {
                "hold": TEXT,
                "id": STEP_ID,
                "until": one_or_more(ref("expectation")),
                "agree": many(WORD),
                "abort": TEXT,
            },
        ),
    }


def _rig_condition() -> Schema:
    again = ref("rig-condition")
    one: Schema = {
        "title": "What the rig has",
        "description": "A part, or a `not`, `all` or `any` of such. Example: {part: prime-bag}",
        "type": "object",
        "properties": {"part": WORD, "not": again, "all": many(again), "any": many(again)},
        "additionalProperties": False,
        "minProperties": 1,
        "maxProperties": 1,
    }
    of_kind: Schema = {"allOf": [ref("selector"), {"minProperties": 1}]}
    return chosen([(has("kind", "trait", "traits", "without"), of_kind)], one)


def _procedure_values() -> dict[str, Schema]:
    return {
        "procedure": NAME,
        "title": TEXT,
        "version": VERSION,
        "kind": words(*KINDS),
        "rig": {"if": {"type": "array"}, "then": many(WORD) | {"uniqueItems": True, "maxItems": MOST_RIGS}, "else": WORD},
        "use": words(*USES),
        "people": many(WORD),
        "fewest-people": {"type": "integer", "minimum": 1},
        "use-when": TEXT,
        "do-not-use-when": TEXT,
        "kit": many(ref("kit-item"), 0),
        "starts": ref("starts"),
        "ends": one_or_more(ref("condition")),
        "cautions": many(TEXT, 0),
        "sources": many(TEXT, 0),
        "done-call": TEXT,
        "hands-over": FLAG,
        "body": many(ref("item")),
    }


def _step_values() -> dict[str, Schema]:
    do = chosen([({"type": "array"}, many(ref("action"))), (has("together"), ref("together"))], ref("action"))
    way_out = chosen([({"type": "string"}, TEXT), (has("step"), ref("to-step"))], ref("to-card"))
    return {
        "id": STEP_ID,
        "who": WORD,
        "say": described(TEXT, "What is read aloud: an order, parts as {part-id}. Example: say: Open {prime-clamp}."),
        "do": do,
        "at-once": many(ref("movement")),
        "expect": one_or_more(ref("expectation")),
        "if-not": way_out,
        "confirm": WORD,
        "why": TEXT,
        "warn": one_or_more(ref("warn")),
        "takes": {"type": "string", "minLength": 1},
        "missed": TEXT,
        "after": many(WORD),
        "optional": FLAG,
    }


def _starts() -> Schema:
    state = chosen([({"type": "object"}, ref("open-state"))], _STATE)
    return {
        "title": "Starts",
        "description": "Where it starts `from`, then each part that differs. Example: {from: unpacked, vent: open}",
        "type": "object",
        "properties": {
            "from": {
                "description": "A baseline of the rig, or {procedure: id} for the end of another procedure.",
                **chosen([({"type": "object"}, ref("from-procedure"))], WORD),
            },
            "joined": _JOINED,
            "connected": _CONNECTED,
        },
        "required": ["from"],
        "additionalProperties": {"if": {"type": "array"}, "then": {"type": "array", "items": state}, "else": state},
    }


def rig_schema(vocabulary: Vocabulary) -> Schema:
    """``rig.schema.json``."""
    chain: Schema = {"type": "array", "items": WORD, "minItems": 2}
    baseline: Schema = {
        "type": "object",
        "properties": {"joined": _JOINED, "connected": _CONNECTED},
        "additionalProperties": {"if": {"type": "array"}, "then": {"type": "array", "items": _STATE}, "else": _STATE},
    }
    values: dict[str, Schema] = {
        "rig": NAME,
        "title": TEXT,
        "version": VERSION,
        "inspected": DATE,
        "parts": {
            "type": "object",
            "propertyNames": {"pattern": NAME_PATTERN, "not": {"enum": sorted(RESERVED)}},
            "additionalProperties": ref("part"),
            "minProperties": 1,
        },
        "chains": many(chain),
        "baselines": {"type": "object", "propertyNames": {"pattern": NAME_PATTERN}, "additionalProperties": baseline},
    }
    hint = (
        "A circuit set with its equipment: the parts, how they join, and its named states. A wrong rig voids every verdict."
    )
    return document("rig", "Rig", hint, section(s.RIG, values), {"part": _part(vocabulary)})


def _part(vocabulary: Vocabulary) -> Schema:
    kinds = words(*(kind.name for kind in vocabulary.part_kinds))
    values: dict[str, Schema] = {"kind": kinds, "label": TEXT, "place": TEXT, "trait": WORD, "traits": many(WORD, 0)}
    base = section(s.PART, values)
    del base["additionalProperties"]
    base["not"] = {"required": ["trait", "traits"]}
    base["allOf"] = [
        {"if": {"properties": {"kind": {"const": kind.name}}, "required": ["kind"]}, "then": _of_kind(kind)}
        for kind in vocabulary.part_kinds
    ]
    return base


def _kind_hint(kind: PartKind) -> str:
    states = state_words(kind)
    return f"{kind.summary} States: {', '.join(states)}." if states else kind.summary


def _of_kind(kind: PartKind) -> Schema:
    properties: dict[str, Schema] = {}
    for figure in kind.figures:
        value = {"type": ["string", "integer"]} if figure.dimension == "count" else QUANTITY
        properties[figure.name] = described(value, f"{figure.summary.capitalize()}. Example: {example_of(figure.dimension)}")
    for reference in kind.refs:
        properties[reference.name] = described(
            one_or_more(WORD) if reference.many else WORD, f"{reference.summary.capitalize()}."
        )
    for word in kind.words:
        properties[word.name] = described(words(*word.choices) if word.choices else WORD, f"{word.summary.capitalize()}.")
    traits = words(*(trait for trait, _ in kind.traits)) if kind.traits else {"not": {}}
    hints = "; ".join(f"{trait}: {meaning}" for trait, meaning in kind.traits) or "parts of this kind have none"
    properties["trait"] = described(traits, f"A trait. {hints}.")
    properties["traits"] = described(many(traits, 0), f"Traits. {hints}.")
    required = [spec.name for spec in specs_of(kind) if spec.required]
    found: Schema = {
        "description": _kind_hint(kind),
        "properties": properties,
        "propertyNames": {"enum": list(dict.fromkeys([*s.PART.names, *properties]))},
    }
    if ROAMING in (trait for trait, _ in kind.traits):
        roams: Schema = {
            "anyOf": [_trait_is("trait", {"const": ROAMING}), _trait_is("traits", {"contains": {"const": ROAMING}})]
        }
        found |= {"if": roams, "then": {"required": ["place"]}}
    return found | ({"required": required} if required else {})


def _trait_is(key: str, value: Schema) -> Schema:
    return {"required": [key], "properties": {key: value}}


def _waiver() -> Schema:
    names: dict[str, Schema] = dict.fromkeys(("procedure", "step", "by"), WORD)
    found = section(s.WAIVER, {**names, "slip": {"enum": [*Sort]}, "waiver": NAME, "reason": TEXT, "until": DATE})
    return found | {"dependencies": {"slip": ["step"]}}


def rules_schema(vocabulary: Vocabulary) -> Schema:
    """``rules.schema.json``."""
    verbs = words(*(verb.name for verb in vocabulary.verbs))
    condition = ref("condition")
    letters: Schema = {"type": "object", "additionalProperties": ref("selector")}
    known = dict.fromkeys(spec.name for kind in vocabulary.part_kinds for spec in kind.words)
    values: dict[str, Schema] = {
        **dict.fromkeys(("never", "never-longer", "becomes", "unless", "require", "at-the-end", "when"), condition),
        **dict.fromkeys(("title", "harm", "control", "not-checked", "message", "mend"), TEXT),
        "rule": NAME,
        "code": {"type": "string", "pattern": "^[A-Z]{1,4}[0-9]{1,4}$"},
        "hazards": many({"type": "string", "pattern": "^[A-Z][A-Z0-9]{0,2}[0-9]{1,3}[a-z]?$"}, 0),
        "severity": words(*SEVERITIES),
        "certainty": words("will", "could"),
        "sources": many(ref("source")),
        "for-every": letters,
        "before-doing": ref("doing"),
        "order": ref("order"),
        "than": AMOUNT,
        "within": ref("within"),
        "enough": ref("enough"),
        "match": ref("match"),
        "procedures": many(words(*KINDS), 0),
        "core": FLAG,
        "policy": POLICY,
        "hand-over": FLAG,
    }
    definitions = {
        **condition_definitions(vocabulary),
        "waiver": _waiver(),
        "source": section(s.RULE_SOURCE, {"text": TEXT, "mark": words(*MARKS)}),
        "doing": section(s.DOING, {"verb": verbs, "part": WORD}),
        "order": section(s.ORDER, {"first": ref("doing"), "then": ref("doing")}),
        "within": section(s.WITHIN, {"of": condition, "comes": condition, "time": AMOUNT}),
        "enough": section(
            s.ENOUGH,
            {
                "count": {**letters, "minProperties": 1, "maxProperties": 1},
                "that": condition,
                "stock": {"type": "string", "pattern": r"^[a-z][a-z0-9-]*\.[a-z][a-z0-9-]*$"},
            },
        ),
        "match": section(s.MATCH, {"of": WORD, "word": words(*known), "with": WORD, "same": FLAG}),
    }
    definitions["rule"] = section(
        s.RULE,
        values,
        oneOf=[{"required": [shape]} for shape in SHAPES],
        dependencies={
            "unless": ["becomes"],
            "hand-over": ["at-the-end"],
            "require": ["before-doing"],
            "before-doing": ["require"],
            "than": ["never-longer"],
            "never-longer": ["than"],
        },
    )
    hint = "One hazard rule: when it looks, what it looks for, what harm it keeps away, what it does not check. Or a waiver."
    return document("rules", "Rule or waiver", hint, chosen([(has("waiver"), ref("waiver"))], ref("rule")), definitions)


BUILDERS = {
    "procedure": procedure_schema,
    "rig": rig_schema,
    "rules": rules_schema,
    "unit": unit_schema,
    "terms": terms_schema,
}


def written(name: str, vocabulary: Vocabulary | None = None) -> str:
    """The text of a schema file."""
    schema = BUILDERS[name](vocabulary or built_in())
    return json.dumps(schema, ensure_ascii=False, indent=1) + "\n"


def write_all(folder: Path) -> None:
    """Write every schema that is built into a folder."""
    for name in BUILDERS:
        write_aside(folder / f"{name}.schema.json", written(name).encode())


if __name__ == "__main__":
    write_all(Path(sys.argv[1]))
