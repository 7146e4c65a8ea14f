"""Small pieces of JSON Schema (draft-07) from which the schemas are put together."""

from __future__ import annotations

from typing import Any

from stepwell.model.policy import DISPUTED
from stepwell.source.sections import Section

Schema = dict[str, Any]

DRAFT = "http://json-schema.org/draft-07/schema#"
NAME_PATTERN = r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$"
TEXT: Schema = {"type": "string", "pattern": r"\S"}
WORD: Schema = {"type": "string", "minLength": 1}
NAME: Schema = {"type": "string", "pattern": NAME_PATTERN, "maxLength": 60}
STEP_ID: Schema = {"type": "string", "pattern": "^[a-z][a-z0-9]{3}$"}
DATE: Schema = {"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}
FLAG: Schema = {"type": "boolean"}
VERSION: Schema = {"type": "string", "pattern": r"^[0-9]{1,6}(\.[0-9]{1,6}){0,3}([-+][0-9A-Za-z.-]{1,40})?$"}
QUANTITY: Schema = {
    "type": "string",
    "pattern": r"^\s*[-−+]?([0-9]+(\.[0-9]+)?|[0-9]{1,2}/(2|4|8|16|32))\s*[^0-9\s].*$",
}
AMOUNT: Schema = {"type": "string", "minLength": 1}
"""A quantity, or the name of one of the unit's numbers."""


POLICY: Schema = {
    "type": "object",
    "properties": {one.name: {"description": f"{one.question}.", "enum": list(one.words)} for one in DISPUTED},
    "additionalProperties": False,
}


def ref(name: str) -> Schema:
    """A reference to a definition."""
    return {"$ref": f"#/definitions/{name}"}


def many(items: Schema, least: int = 1) -> Schema:
    """A list; ``least`` 0 may be empty."""
    found: Schema = {"type": "array", "items": items}
    return found | {"minItems": least} if least else found


def one_or_more(items: Schema) -> Schema:
    """One value, or a list of them."""
    return {"if": {"type": "array"}, "then": many(items), "else": items}


def words(*choices: str) -> Schema:
    """One of a few words."""
    return {"type": "string", "enum": list(choices)}


def chosen(pairs: list[tuple[Schema, Schema]], otherwise: Schema) -> Schema:
    """The schema behind the first condition that is met: so an editor speaks of that one alone."""
    found = otherwise
    for condition, schema in reversed(pairs):
        found = {"if": condition, "then": schema, "else": found}
    return found


def has(*keys: str) -> Schema:
    """The condition that a mapping has one of these keys."""
    needed: list[Schema] = [{"type": "object", "required": [key]} for key in keys]
    return needed[0] if len(needed) == 1 else {"anyOf": needed}


def section(entry: Section, values: dict[str, Schema], **more: object) -> Schema:
    """A mapping with the keys of a section. ``values`` must have one schema per key, else KeyError."""
    properties = {}
    for key in entry.keys:
        hint = f"{key.takes[:1].upper()}{key.takes[1:]}. Example: {key.example}"
        properties[key.name] = described(values[key.name], hint)
    found: Schema = {
        "title": entry.noun.removeprefix("the ").capitalize(),
        "type": "object",
        "properties": properties,
        "additionalProperties": False,
    }
    required = [key.name for key in entry.keys if key.required]
    return found | ({"required": required} if required else {}) | more


def described(schema: Schema, hint: str) -> Schema:
    """The schema with a hint. Beside ``$ref`` draft-07 ignores everything, so a reference is wrapped."""
    if "$ref" in schema:
        return {"description": hint, "allOf": [schema]}
    return {"description": schema.get("description", hint)} | schema


def document(name: str, title: str, description: str, body: Schema, definitions: dict[str, Schema]) -> Schema:
    """A whole schema file."""
    return {
        "$schema": DRAFT,
        "$id": f"{name}.schema.json",
        **body,
        "title": title,
        "description": description,
        **({"definitions": definitions} if definitions else {}),
    }
