"""Which keys stand where, what each takes, and an example of it. The schemas are tested against this table."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Key:
    """One key: what its value is ("a text"), and a line as one writes it."""

    name: str
    takes: str
    example: str
    required: bool = False


@dataclass(frozen=True, slots=True)
class Section:
    """One sort of mapping. ``noun`` is how messages call it; ``schema`` where the schema has it (file, pointer)."""

    noun: str
    keys: tuple[Key, ...]
    schema: tuple[str, str] = ("", "")

    def key(self, name: str) -> Key | None:
        """The key of this name, or None."""
        return next((key for key in self.keys if key.name == name), None)

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the keys, in the order in which people write them."""
        return tuple(key.name for key in self.keys)


def _section(noun: str, schema: tuple[str, str], *keys: Key) -> Section:
    return Section(noun, keys, schema)


def _need(name: str, takes: str, example: str) -> Key:
    return Key(name, takes, example, required=True)


_P, _R, _L, _U, _T = "procedure", "rig", "rules", "unit", "terms"
_STEPS = "steps: [{id: k7f3, who: nurse, say: Open the clamp.}]"

PROCEDURE = _section(
    "the procedure",
    (_P, ""),
    _need("procedure", "an id", "procedure: prime-adult"),
    _need("title", "a text", "title: Prime the adult set"),
    _need("version", "a version in quotes", 'version: "1.0.0"'),
    _need("kind", "one of routine, emergency, check", "kind: routine"),
    _need("rig", "the id of a rig or a list of them", "rig: adult-bedside"),
    _need("use", "one of read-and-do, call-and-reply, do-then-confirm", "use: read-and-do"),
    _need("people", "a list of roles", "people: [primer, assistant]"),
    Key("fewest-people", "a whole number", "fewest-people: 2"),
    Key("use-when", "a text", "use-when: Before any move of a supported patient."),
    Key("do-not-use-when", "a text", "do-not-use-when: The wall supply has failed."),
    Key("kit", "a list of things to fetch", 'kit: [{name: sterile towel, amount: "2"}, {part: prime-bag}]'),
    Key("starts", "a group of states", "starts: {from: unpacked, vent: open}"),
    Key("ends", "a list of conditions", "ends: [{shut: vent}]"),
    Key("cautions", "a list of texts", "cautions: [Do not run the pump dry.]"),
    Key("sources", "a list of texts", "sources: [Common practice.]"),
    Key("done-call", "a text", "done-call: Prime complete."),
    Key("hands-over", "true or false", "hands-over: true"),
    _need("body", "a list of steps and stages", "body: [{stage: Fill, steps: [...]}]"),
)
STEP = _section(
    "the step",
    (_P, "/definitions/step"),
    _need("id", "an id such as k7f3", "id: k7f3"),
    _need("who", "a role", "who: nurse"),
    _need("say", "a text", "say: Open {prime-clamp}."),
    Key("do", "an action or a list of actions", "do: {open: prime-clamp}"),
    Key("at-once", "a list of actions", "at-once: [{shut: drain-clamp}, {stop: pump}]"),
    Key("expect", "an expectation or a list of them", "expect: {filled: oxygenator}"),
    Key("if-not", "a text, a step or a card", "if-not: Call for help."),
    Key("confirm", "a role", "confirm: nurse"),
    Key("why", "a text", "why: Air would stay in the bundle."),
    Key("warn", "a safety message or a list of them", "warn: {hazard: ..., consequence: ..., avoidance: ...}"),
    Key("takes", "a time or a range of times", "takes: 30 s .. 2 min"),
    Key("missed", "a text", "missed: Stop and call the specialist."),
    Key("after", "a list of step ids", "after: [k7f3]"),
    Key("optional", "true or false", "optional: true"),
)
STAGE = _section(
    "the stage",
    (_P, "/definitions/stage"),
    _need("stage", "a title", "stage: Fill the set"),
    _need("steps", "a list of steps", _STEPS),
)
ANY_ORDER = _section(
    "the any-order group",
    (_P, "/definitions/any-order"),
    _need("any-order", "a title", "any-order: Get ready"),
    _need("steps", "a list of steps", _STEPS),
)
LANES = _section(
    "the lanes",
    (_P, "/definitions/lanes"),
    _need("lanes", "a title", "lanes: Side by side"),
    _need("of", "a list of lanes", "of: [{lane: primer, steps: [...]}, {lane: assistant, steps: [...]}]"),
)
LANE = _section(
    "the lane",
    (_P, "/definitions/lane"),
    _need("lane", "a role", "lane: primer"),
    _need("steps", "a list of steps", _STEPS),
)
CHOOSE = _section(
    "the question",
    (_P, "/definitions/choose"),
    _need("choose", "a question", "choose: Is there air in the return line?"),
    _need("id", "an id such as k7f3", "id: q7aa"),
    _need("who", "a role", "who: primer"),
    _need("outcomes", "a list of outcomes", 'outcomes: [{label: "yes", steps: [...]}, {label: "no", end: true}]'),
)
OUTCOME = _section(
    "the outcome",
    (_P, "/definitions/outcome"),
    _need("label", "a text", 'label: "yes"'),
    Key("when", "a condition", "when: {holds-air: return-line}"),
    Key("steps", "a list of steps", _STEPS),
    Key("card", "the id of a procedure", "card: air-in-circuit"),
    Key("end", "true or false", "end: true"),
)
REPEAT = _section(
    "the repeat",
    (_P, "/definitions/repeat"),
    _need("repeat", "a title", "repeat: Clear the bundle"),
    _need("id", "an id such as k7f3", "id: r1aa"),
    _need("until", "a condition", "until: {air-free: oxygenator}"),
    _need("at-most", "a whole number", "at-most: 3"),
    _need("steps", "a list of steps", _STEPS),
)
HOLD = _section(
    "the hold",
    (_P, "/definitions/hold"),
    _need("hold", "a text", "hold: The set is full"),
    _need("id", "an id such as k7f3", "id: h1aa"),
    _need("until", "a list of expectations", "until: [{filled: oxygenator}]"),
    _need("agree", "a list of roles", "agree: [primer, assistant]"),
    _need("abort", "a text", "abort: Shut all clamps and call for help."),
)
READING = _section(
    "the reading",
    (_P, "/definitions/reading"),
    _need("reading", "a part", "reading: cylinder-gauge"),
    Key("at-least", "a quantity", "at-least: 150 bar"),
    Key("at-most", "a quantity", "at-most: 200 bar"),
)
SIGHT = _section("what is seen", (_P, "/definitions/sight"), _need("see", "a text", "see: No drops at the joints."))
TOGETHER = _section(
    "the actions done together",
    (_P, "/definitions/together"),
    _need("together", "a list of actions", "together: [{shut: drain-clamp}, {stop: pump}]"),
)
TO_STEP = _section("the way out", (_P, "/definitions/to-step"), _need("step", "a step id", "step: k7f3"))
TO_CARD = _section("the way out", (_P, "/definitions/to-card"), _need("card", "the id of a procedure", "card: gas-lost"))
WARN = _section(
    "the safety message",
    (_P, "/definitions/warn"),
    _need("hazard", "a text", "hazard: Air in the return line."),
    _need("consequence", "a text", "consequence: Air reaches the patient."),
    _need("avoidance", "a text", "avoidance: Keep the vent open."),
    Key("severity", "one of fatal, serious, minor", "severity: fatal"),
)
KIT_ITEM = _section(
    "the kit item",
    (_P, "/definitions/kit-item"),
    Key("name", "a text", "name: sterile towel"),
    Key("part", "a part", "part: prime-bag"),
    Key("amount", "a text", 'amount: "2"'),
)
FROM_PROCEDURE = _section(
    "where it starts from",
    (_P, "/definitions/from-procedure"),
    _need("procedure", "the id of a procedure", "from: {procedure: prime-adult}"),
)
OPEN_STATE = _section(
    "the open state",
    (_P, "/definitions/open-state"),
    _need("any", "a list of states", "any: [open, shut]"),
)
QUANTIFIED = {
    word: _section(
        "the condition",
        (_P, f"/definitions/{word}"),
        _need(word, "a letter and the parts it stands for", f"{word}: {{s: {{kind: pressure-sensor}}}}"),
        _need("holds", "a condition", "holds: {zeroed: s}"),
    )
    for word in ("for-every", "for-some")
}
SELECTOR = _section(
    "the choice of parts",
    (_P, "/definitions/selector"),
    Key("kind", "a kind of part", "kind: pressure-sensor"),
    Key("trait", "a trait", "trait: built-in"),
    Key("traits", "a list of traits", "traits: [main, kept]"),
    Key("without", "a list of traits", "without: [vented]"),
)
RIG = _section(
    "the rig",
    (_R, ""),
    _need("rig", "an id", "rig: adult-bedside"),
    _need("title", "a text", "title: Adult bedside set"),
    _need("version", "a version in quotes", 'version: "1.0.0"'),
    Key("inspected", "a date", "inspected: 2026-10-01"),
    _need("parts", "a group of parts", "parts: {vent: {kind: vent, label: vent}}"),
    _need("chains", "a list of chains", "chains: [[prime-bag, prime-clamp, prime-line]]"),
    Key("baselines", "a group of baselines", "baselines: {unpacked: {vent: shut}}"),
)
PART = _section(
    "the part",
    (_R, "/definitions/part"),
    _need("kind", "a kind of part", "kind: clamp"),
    _need("label", "a text", "label: prime clamp"),
    Key("place", "a text", "place: hook on the mast"),
    Key("trait", "a trait", "trait: built-in"),
    Key("traits", "a list of traits", "traits: [main, kept]"),
)
UNIT = _section(
    "the unit",
    (_U, ""),
    _need("unit", "a text", "unit: Northmoor ECMO unit"),
    Key("region", "a word", "region: eu"),
    Key("languages", "a list of languages", "languages: [en]"),
    Key("reading-distance", "a length", "reading-distance: 60 cm"),
    _need("roles", "a group of roles", "roles: {nurse: {label: Nurse, mark: N}}"),
    Key("numbers", "a group of numbers", "numbers: {sweep-start: {value: 4 L/min}}"),
    Key("policy", "a group of policies", "policy: {coming-off: return-first}"),
    Key("notice", "a text", "notice: Call the duty specialist on the unit's own number."),
    Key("review", "a group of `key: value`", "review: {signers: {...}, quorum: {routine: {nurse: 1}}}"),
    Key("places", "a group of places", "places: {trolley-1: {label: Trolley in bay 1, cards: [air-in-circuit]}}"),
)
REVIEW = _section(
    "the review policy",
    (_U, "/definitions/review"),
    _need("signers", "a group of signers", "signers: {physician-a: {roles: [physician], key: ssh-ed25519 AAAA...}}"),
    _need("quorum", "a group of roles and numbers", "quorum: {routine: {nurse: 1, physician: 1}}"),
    Key("minutes-count", "true or false", "minutes-count: true"),
    Key("review-after-months", "a whole number", "review-after-months: 12"),
    Key("copy-valid-days", "a whole number", "copy-valid-days: 30"),
    Key("walk-through", "true or false", "walk-through: true"),
    Key("steps-on-confirmation", "a whole number", "steps-on-confirmation: 2"),
)
SIGNER = _section(
    "the signer",
    (_U, "/definitions/signer"),
    _need("roles", "a list of roles", "roles: [physician]"),
    Key("key", "an OpenSSH public key", "key: ssh-ed25519 AAAA..."),
    Key("since", "a date", "since: 2026-01-01"),
    Key("until", "a date", "until: 2027-12-31"),
)
PLACE = _section(
    "the place",
    (_U, "/definitions/place"),
    _need("label", "a text", "label: Trolley in bay 1"),
    _need("cards", "a list of procedures", "cards: [air-in-circuit]"),
)
ROLE = _section(
    "the role",
    (_U, "/definitions/role"),
    _need("label", "a text", "label: Sterile primer"),
    _need("mark", "one to three letters", "mark: SP"),
)
NUMBER = _section(
    "the number",
    (_U, "/definitions/number"),
    _need("value", "a quantity", "value: 4 L/min"),
    Key("note", "a text", "note: Agreed by the committee."),
)
TERMS = _section(
    "the terms",
    (_T, ""),
    Key("synonyms", "a list of lists of words", "synonyms: [[air embolism, bubbles]]"),
    Key("languages", "a group of languages", "languages: {de: {synonyms: [[Luftembolie, Blasen]]}}"),
    Key("avoid", "a group of words", "avoid: {as required: state the value}"),
)
TERMS_IN = _section(
    "the terms in",
    (_T, "/definitions/terms-in"),
    _need("synonyms", "a list of lists of words", "synonyms: [[Luftembolie, Blasen]]"),
    Key("reviewed-by", "a role", "reviewed-by: specialist"),
)
RULE = _section(
    "the rule",
    (_L, "/definitions/rule"),
    _need("rule", "the name of the fault", "rule: built-in-sensor-zeroed-wet"),
    _need("code", "a code", "code: U001"),
    Key("hazards", "a list of hazards", "hazards: [H01]"),
    _need("title", "a text", "title: A sensor is zeroed after the set was filled"),
    _need("severity", "one of fatal, serious, minor", "severity: serious"),
    Key("certainty", "one of will, could", "certainty: could"),
    _need("harm", "a text", "harm: Pressures read wrong."),
    _need("control", "a text", "control: Zero before filling."),
    _need("sources", "a list of sources", "sources: [{text: Hydrostatics., mark: physics}]"),
    _need("not-checked", "a text", "not-checked: Whether the sensor works."),
    Key("for-every", "letters and the parts they stand for", "for-every: {s: {kind: pressure-sensor}}"),
    Key("when", "a condition", "when: {patient-attached: true}"),
    Key("never", "a condition", "never: {open-to-air: s}"),
    Key("becomes", "a condition", "becomes: {filled: s}"),
    Key("unless", "a condition", "unless: {open: v}"),
    Key("before-doing", "a verb and its part", "before-doing: {verb: zero, part: s}"),
    Key("require", "a condition", "require: {dry: s.site}"),
    Key("at-the-end", "a condition", "at-the-end: {shut: v}"),
    Key("hand-over", "true or false", "hand-over: false"),
    Key("order", "two actions", "order: {first: {verb: stop, part: p}, then: {verb: gas-off, part: g}}"),
    Key("never-longer", "a condition", "never-longer: {flow: dead-headed}"),
    Key("than", "a time", "than: 30 s"),
    Key(
        "within",
        "what comes after what, and in what time",
        "within: {of: {flow: forward}, comes: {gas-flowing: g}, time: 60 s}",
    ),
    Key("enough", "what is counted, and its stock", "enough: {count: {c: {kind: clamp}}, that: {shut: c}, stock: s.count}"),
    Key("match", "two parts and a word", "match: {of: s, word: side, with: s.site}"),
    Key("message", "a text", 'message: "{s} is zeroed when its chamber is not surely dry."'),
    Key("mend", "a text", 'mend: "Zero {s} before the prime line is opened."'),
    Key("procedures", "a list of kinds of procedure", "procedures: [routine]"),
    Key("policy", "a group of policies", "policy: {coming-off: return-first}"),
    Key("core", "true or false", "core: true"),
)
RULE_SOURCE = _section(
    "the source",
    (_L, "/definitions/source"),
    _need("text", "a text", "text: Hydrostatics."),
    _need("mark", "one of seen, from memory, physics, common practice", "mark: physics"),
)
DOING = _section(
    "the action",
    (_L, "/definitions/doing"),
    _need("verb", "a verb", "verb: zero"),
    Key("part", "a letter or a part", "part: s"),
)
ORDER = _section(
    "the order",
    (_L, "/definitions/order"),
    _need("first", "a verb and its part", "first: {verb: stop, part: p}"),
    _need("then", "a verb and its part", "then: {verb: gas-off, part: g}"),
)
WAIVER = _section(
    "the waiver",
    (_L, "/definitions/waiver"),
    _need("waiver", "the name of a rule", "waiver: vent-left-open"),
    _need("procedure", "the id of a procedure", "procedure: prime-adult"),
    Key("step", "a step id", "step: k7f3"),
    Key("slip", "one of omitted, too early, twice, look-alike, check skipped", "slip: omitted"),
    _need("reason", "a text", "reason: This set has no vent."),
    _need("by", "a role", "by: specialist"),
    _need("until", "a date", "until: 2027-03-31"),
)
WITHIN = _section(
    "the deadline",
    (_L, "/definitions/within"),
    _need("of", "a condition", "of: {flow: forward}"),
    _need("comes", "a condition", "comes: {gas-flowing: g}"),
    _need("time", "a time", "time: 60 s"),
)
ENOUGH = _section(
    "the count",
    (_L, "/definitions/enough"),
    _need("count", "a letter and the parts it stands for", "count: {c: {kind: clamp, trait: roaming}}"),
    _need("that", "a condition", "that: {shut: c}"),
    _need("stock", "a figure of a part", "stock: s.count"),
)
MATCH = _section(
    "the match",
    (_L, "/definitions/match"),
    _need("of", "a letter or a part", "of: s"),
    Key("word", "a word that both parts state", "word: side"),
    _need("with", "a letter or a part", "with: s.site"),
    Key("same", "true or false", "same: false"),
)

SECTIONS: tuple[Section, ...] = (
    PROCEDURE, STEP, STAGE, ANY_ORDER, LANES, LANE, CHOOSE, OUTCOME, REPEAT, HOLD, READING, SIGHT, TOGETHER, TO_STEP,
    TO_CARD, WARN, KIT_ITEM, FROM_PROCEDURE, OPEN_STATE, *QUANTIFIED.values(), SELECTOR, RIG, UNIT, REVIEW, SIGNER, PLACE,
    ROLE, NUMBER,
    TERMS, TERMS_IN, RULE, RULE_SOURCE, DOING, ORDER, WAIVER, WITHIN, ENOUGH, MATCH,
)  # fmt: skip
"""Every section with a fixed list of keys (a part has those of its kind besides)."""
