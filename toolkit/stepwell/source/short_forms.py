"""The short forms of the file language: what each is written as, and what it stands for.

A short form is written out when the file is read, so that the search, the rules and the cards see the long form only.
"""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.circuit.bench import Bench
from stepwell.circuit.entry import Arity, OptionSpec, Verb
from stepwell.circuit.verbs.open import VERB as OPEN
from stepwell.circuit.verbs.shut import VERB as SHUT
from stepwell.model.procedure import Action


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortForm:
    """One short form. ``example`` is how it is written, ``stands_for`` the long form or its meaning, in words."""

    name: str
    summary: str
    example: str
    stands_for: str


def _never(_bench: Bench, _action: Action) -> str | None:
    raise AssertionError("a short form is written out before anything is done")


BLEED = Verb(
    name="bleed",
    summary="Let a side branch flow out through its cap for a time, then close it again.",
    words=("bleed", "vent", "rinse", "flush", "de-air"),
    does="bleeds {0}",
    pairs=(("tap", "stub"),),
    arity=Arity.EACH,
    effect=_never,
    options=(OptionSpec(name="for", takes="time", summary="how long it flows", required=True),),
)
ENSURE_OPEN = Verb(
    name="ensure-open",
    summary="See that it is open: opened if it is not, and no remark where it is open already.",
    words=OPEN.words,
    does="makes sure that {0} is open",
    pairs=OPEN.pairs,
    arity=Arity.EACH,
    effect=_never,
)
ENSURE_SHUT = Verb(
    name="ensure-shut",
    summary="See that it is shut: shut if it is not, and no remark where it is shut already.",
    words=SHUT.words,
    does="makes sure that {0} is shut",
    pairs=SHUT.pairs,
    arity=Arity.EACH,
    effect=_never,
)
CIRCULATE = "circulate"
LIKE_A_VERB = {verb.name: verb for verb in (BLEED, ENSURE_OPEN, ENSURE_SHUT)}
"""Short forms that are written as a verb on parts."""
ENSURES = {ENSURE_OPEN.name: "open", ENSURE_SHUT.name: "shut"}
"""The verb that each of them becomes."""
LONG = (BLEED.name, CIRCULATE)
"""Short forms of several actions one after another, which nobody can do at once."""

SHORT_FORMS: tuple[ShortForm, ...] = (
    ShortForm(
        name="all",
        summary="Every part of a kind, as a verb's value; fewer with `trait`, `traits`, `without` and `on`.",
        example="{shut: {all: clamps, on: [drain-line, return-line]}}",
        stands_for="One action per part, in the order of the rig. `on` takes spaces: meant are the parts next to them in a "
        "chain, those with only a gate between, and equipment whose site they are. A choice of nothing is a fault.",
    ),
    ShortForm(
        name="before",
        summary="The clamp site before a part, as a verb's value; `after` is the other side.",
        example="{shut: {before: flow-sensor}}",
        stands_for="The parts that the rig names under `before` of that part; if it names none, the neighbour in the chain "
        "of the part or of its site to which the verb can be done. So a roaming clamp has a part and place in the rig.",
    ),
    ShortForm(
        name=ENSURE_OPEN.name,
        summary=ENSURE_OPEN.summary,
        example="{ensure-open: vent}",
        stands_for="{open: vent, ensure: true}: an action like any other, for the rules too.",
    ),
    ShortForm(
        name=ENSURE_SHUT.name,
        summary=ENSURE_SHUT.summary,
        example="{ensure-shut: prime-clamp}",
        stands_for="{shut: prime-clamp, ensure: true}: an action like any other, for the rules too.",
    ),
    ShortForm(
        name=BLEED.name,
        summary=BLEED.summary,
        example="{bleed: pre-tap, for: 20 s}",
        stands_for="The cap is taken off, each gate on the way opened from the cap inwards (a tap turned to all ways), the "
        "time waited, each shut again from inside outwards, the cap put on. Others may act between any two of them.",
    ),
    ShortForm(
        name=CIRCULATE,
        summary="Run and stop the pump in spells.",
        example="{circulate: [{rpm: 2800, for: 90 s}, {stop: 10 s}, {rpm: 3600, for: 1 min}]}",
        stands_for="One run or stop of the rig's drive per spell, each for its time. After a last spell with `rpm` the pump "
        "goes on running. A rig with several drives needs `drive: pump`.",
    ),
    ShortForm(
        name="for-each",
        summary="Steps once for every part of a sort; `{s}` and `s` stand for the part, `s.tap` for what it refers to.",
        example="{for-each: {s: {kind: pressure-sensor}}, steps: [{id: k7f3, who: nurse, say: 'Zero {s}.', do: {zero: s}}]}",
        stands_for="The steps for each part, in the order of the rig; in any-order each part's are a stage with its label. "
        "The id of a step ends with its part (k7f3-drain-pressure), so it stays the same when the rig gets or loses other "
        "parts. Within, an id means the step of the same part; from outside, `after` means every part's step.",
    ),
    ShortForm(
        name="if-rig",
        summary="Steps for rigs that have something, and `otherwise` those for the others.",
        example="{if-rig: {kind: check-valve}, steps: [...], otherwise: [...]}",
        stands_for="Just the one or the other, settled when the file is read: no question at the bedside. It asks for a "
        "kind, traits, a `part`, or `not`, `all` and `any` of such. An `after` a step that is left out waits for nobody.",
    ),
    ShortForm(
        name="rig",
        summary="One procedure for several rigs.",
        example="rig: [adult-bedside, adult-va]",
        stands_for="One procedure for each rig, checked and printed on its own, with just the steps that `if-rig` and "
        "`for-each` give for that rig. Its id ends with the rig (prime-adult-on-adult-va) and its title with the rig's "
        "title. A card that leads to `prime-adult` leads to the one for its own rig.",
    ),
    ShortForm(
        name="meet",
        summary="A named point at which lanes wait for each other; lanes may go through several stages between them.",
        example="- meet: Dry checks done",
        stands_for="`after` on every step behind it in each lane that names it, naming every step before it in the other "
        "such lanes. It stands in a lane or in a stage of a lane. A meeting that no other lane comes to is a fault, and so "
        "are meetings that lanes come to in different orders.",
    ),
    ShortForm(
        name="at-once",
        summary="A step whose actions one person does in a single movement.",
        example="at-once: [{shut: drain-clamp}, {stop: pump}]",
        stands_for="do: {together: [{shut: drain-clamp}, {stop: pump}]}",
    ),
)


def short_form(name: str) -> ShortForm | None:
    """The short form of this name, or None."""
    return next((form for form in SHORT_FORMS if form.name == name), None)
