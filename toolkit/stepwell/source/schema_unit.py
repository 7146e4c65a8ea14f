"""The schemas of unit.yaml and terms.yaml."""

from __future__ import annotations

from stepwell.source import sections as s
from stepwell.source.read_review import KEY_PATTERN, MOST_DAYS, MOST_MONTHS, MOST_SEATS, MOST_STEPS, SORTS
from stepwell.source.schema_parts import (
    FLAG,
    NAME_PATTERN,
    POLICY,
    QUANTITY,
    TEXT,
    WORD,
    Schema,
    document,
    many,
    ref,
    section,
)
from stepwell.source.vocabulary import Vocabulary


def unit_schema(_: Vocabulary) -> Schema:
    """``unit.schema.json``."""
    values: dict[str, Schema] = {
        "unit": TEXT,
        "region": TEXT,
        "languages": many({"type": "string", "pattern": "^[a-z]{2,3}(-[A-Za-z0-9]{2,8}){0,2}$"}),
        "reading-distance": QUANTITY,
        "roles": {
            "type": "object",
            "propertyNames": {"pattern": NAME_PATTERN},
            "additionalProperties": ref("role"),
            "minProperties": 1,
        },
        "numbers": {"type": "object", "propertyNames": {"pattern": NAME_PATTERN}, "additionalProperties": ref("number")},
        "notice": TEXT,
        "policy": POLICY,
        "review": ref("review"),
        "places": {"type": "object", "propertyNames": {"pattern": NAME_PATTERN}, "additionalProperties": ref("place")},
    }
    seats: Schema = {
        "type": "object",
        "additionalProperties": {"type": "integer", "minimum": 1, "maximum": MOST_SEATS},
        "minProperties": 1,
    }
    day: Schema = {"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}
    definitions = {
        "review": section(
            s.REVIEW,
            {
                "signers": {
                    "type": "object",
                    "propertyNames": {"pattern": NAME_PATTERN},
                    "additionalProperties": ref("signer"),
                },
                "quorum": {"type": "object", "propertyNames": {"enum": [*SORTS]}, "additionalProperties": seats},
                "minutes-count": FLAG,
                "review-after-months": {"type": "integer", "minimum": 1, "maximum": MOST_MONTHS},
                "copy-valid-days": {"type": "integer", "minimum": 1, "maximum": MOST_DAYS},
                "walk-through": FLAG,
                "steps-on-confirmation": {"type": "integer", "minimum": 0, "maximum": MOST_STEPS},
            },
        ),
        "signer": section(
            s.SIGNER,
            {"roles": many(WORD), "key": {"type": "string", "pattern": f"^{KEY_PATTERN}$"}, "since": day, "until": day},
        ),
        "place": section(s.PLACE, {"label": TEXT, "cards": many(WORD)}),
        "role": section(s.ROLE, {"label": TEXT, "mark": {"type": "string", "pattern": "^[A-Z][A-Z0-9]{0,2}$"}}),
        "number": section(s.NUMBER, {"value": QUANTITY, "note": TEXT}),
    }
    hint = "The unit: its name, the roles of its people, and the numbers it sets."
    return document("unit", "Unit", hint, section(s.UNIT, values), definitions)


def terms_schema(_: Vocabulary) -> Schema:
    """``terms.schema.json``."""
    synonyms = many({"type": "array", "items": TEXT, "minItems": 2}, 0)
    values: dict[str, Schema] = {
        "synonyms": synonyms,
        "languages": {
            "type": "object",
            "propertyNames": {"pattern": NAME_PATTERN},
            "additionalProperties": ref("terms-in"),
        },
        "avoid": {"type": "object", "additionalProperties": TEXT},
    }
    definitions = {"terms-in": section(s.TERMS_IN, {"synonyms": synonyms, "reviewed-by": WORD})}
    hint = "Words that mean the same when searching, and words to avoid with what to write instead."
    return document("terms", "Terms", hint, section(s.TERMS, values), definitions)
