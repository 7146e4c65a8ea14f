"""The keys of the short forms; see ``sections``."""

from __future__ import annotations

from stepwell.source.sections import Key, Section

_P = "procedure"
_STEPS = "steps: [{id: k7f3, who: nurse, say: Open the clamp.}]"

MEET = Section(
    "the meeting",
    (Key("meet", "a name", "meet: Dry checks done", required=True),),
    (_P, "/definitions/meet"),
)
FOR_EACH = Section(
    "the for-each",
    (
        Key(
            "for-each",
            "a letter and the parts it stands for",
            "for-each: {s: {kind: pressure-sensor, trait: built-in}}",
            required=True,
        ),
        Key("steps", "a list of steps", "steps: [{id: k7f3, who: nurse, say: 'Zero {s}.', do: {zero: s}}]", required=True),
    ),
    (_P, "/definitions/for-each"),
)
IF_RIG = Section(
    "the if-rig",
    (
        Key("if-rig", "what the rig has", "if-rig: {kind: check-valve}", required=True),
        Key("steps", "a list of steps", _STEPS, required=True),
        Key("otherwise", "a list of steps", _STEPS.replace("steps:", "otherwise:", 1)),
    ),
    (_P, "/definitions/if-rig"),
)
SELECTED = Section(
    "the choice of parts",
    (
        Key("all", "a kind of part, one or many", "all: clamps", required=True),
        Key("trait", "a trait", "trait: on-main-path"),
        Key("traits", "a list of traits", "traits: [main, kept]"),
        Key("without", "a list of traits", "without: [roaming]"),
        Key("on", "a space or a list of spaces", "on: [drain-line, return-line]"),
    ),
    (_P, "/definitions/selected"),
)
SITE = Section(
    "the site",
    (
        Key("before", "a part", "before: flow-sensor"),
        Key("after", "a part", "after: flow-sensor"),
    ),
    (_P, "/definitions/site"),
)
SPELL = Section(
    "the spell",
    (
        Key("rpm", "a speed", "rpm: 2800"),
        Key("for", "a time", "for: 90 s"),
        Key("stop", "a time", "stop: 10 s"),
    ),
    (_P, "/definitions/spell"),
)

SHORT_SECTIONS: tuple[Section, ...] = (SELECTED, SITE, SPELL, MEET, FOR_EACH, IF_RIG)
"""All of them."""
