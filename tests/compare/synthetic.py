"""Made procedures and made edits whose truth is known, to measure the matching: none of their words are in the corpus."""

from __future__ import annotations

import random
from dataclasses import dataclass, field, replace
from decimal import Decimal

from stepwell.model.predicate import Fact, Ref
from stepwell.model.procedure import (
    Action,
    AnyOrder,
    Body,
    Condition,
    Kind,
    Otherwise,
    PartName,
    Procedure,
    Reading,
    Sight,
    Stage,
    Step,
    Text,
    Use,
    Words,
)
from stepwell.model.quantity import Quantity

ROLES = ("first", "second", "third")
DOING = {
    "open": ("Open", "Unclamp"),
    "shut": ("Shut", "Close"),
    "cap": ("Put the cap on", "Close with its cap"),
    "uncap": ("Take the cap off", "Uncap"),
    "zero": ("Zero", "Set to zero"),
    "plug": ("Plug in", "Connect the plug of"),
    "fit": ("Fit", "Clip on"),
    "turn": ("Turn", "Set"),
}
THINGS = tuple(
    f"{where}-{what}"
    for what in ("clamp", "tap", "sensor", "line", "valve", "filter", "port")
    for where in ("inlet", "outlet", "side", "upper", "lower", "spare", "bypass")
)
LOOKS = (
    "Inspect the {0} for {1}",
    "Look along the {0} for {1}",
    "Feel the {0} for {1}",
    "Tap the {0} and watch for {1}",
    "Hold the {0} up and look for {1}",
    "Compare the {0} with the drawing for {1}",
    "Say aloud what the {0} shows about {1}",
    "Write down what the {0} shows of {1}",
)
PLACES = ("tubing", "bracket", "screen", "mast", "trolley", "label", "casing", "cable", "bowl", "drape", "hose", "socket")
SIGNS = ("cracks", "froth", "warmth", "loose threads", "dust", "kinks", "stains", "a tilt", "sharp edges", "a hiss", "fog")
TAILS = ("", " before going on", " with both hands", " from the left side", " under good light", " once more", " slowly")
REASONS = ("It is easy to miss.", "It moves when the bed moves.", "Two events began here.", "Nobody sees it later.")
SYNONYMS = {
    "Inspect": "Check", "Look": "Glance", "Feel": "Touch", "Tap": "Knock on", "Compare": "Match", "watch": "wait",
    "Hold": "Lift", "before going on": "first", "with both hands": "using both hands", "Say aloud": "Call out",
    "under good light": "in bright light", "once more": "again", "slowly": "without haste", "Write": "Note",
}  # fmt: skip


@dataclass
class Truth:
    """Edits as (sort, item, field); a split by its old step, a merge by both old ones."""

    edits: set[tuple[str, str, str]] = field(default_factory=set)


def made(chance: random.Random, steps: int) -> Procedure:
    """A procedure of about so many steps in stages and free orders."""
    ids = _ids(chance)
    body: list[Stage | AnyOrder] = []
    left = steps
    while left > 0:
        size = min(left, chance.randint(4, 9))
        sort = AnyOrder if chance.random() < 0.15 else Stage
        title = f"{chance.choice(PLACES)} and {chance.choice(PLACES)} {len(body) + 1}".capitalize()
        body.append(sort(title=title, body=tuple(_step(chance, next(ids)) for _ in range(size))))
        left -= size
    return Procedure(
        id="made", title="Made", version="1", kind=Kind.ROUTINE, rig="none", use=Use.READ_AND_DO, use_when=(),
        do_not_use_when=(), people=ROLES, fewest_people=1, kit=(), starts=None, ends=(), cautions=(), sources=(),
        done_call=(), body=tuple(body),
    )  # fmt: skip


def _ids(chance: random.Random):  # type: ignore[no-untyped-def]
    seen: set[str] = set()
    while True:
        name = chance.choice("abcdefghjk") + "".join(chance.choices("abcdefghjkmnpqrstuvwxyz23456789", k=3))
        if name not in seen:
            seen.add(name)
            yield name


def _step(chance: random.Random, name: str) -> Step:
    plain = Step(id=name, who=chance.choice(ROLES), say=())
    if chance.random() < 0.55:
        verb, part = chance.choice(list(DOING)), chance.choice(THINGS)
        wait = (("for", Quantity(Decimal(chance.randint(5, 90)), "s")),) if verb == "turn" else ()
        found = replace(
            plain, say=_doing(verb, part, chance.choice(TAILS)), do=(Action(verb=verb, parts=(part,), options=wait),)
        )
        if chance.random() < 0.4:
            found = replace(found, expect=(Condition(predicate=Fact("shut", (Ref(part),))),), if_not=_otherwise(chance))
    else:
        words = chance.choice(LOOKS).format(chance.choice(PLACES), chance.choice(SIGNS)) + chance.choice(TAILS) + "."
        found = replace(plain, say=(Text(words),))
        if chance.random() < 0.4:
            low = chance.randint(1, 80)
            reading = Reading(
                part=chance.choice(THINGS),
                at_least=Quantity(Decimal(low), "mmHg"),
                at_most=Quantity(Decimal(low + chance.randint(5, 50)), "mmHg"),
            )
            found = replace(found, expect=(reading,), if_not=_otherwise(chance))
        elif chance.random() < 0.5:
            found = replace(found, expect=(Sight(words=(Text(f"no {chance.choice(SIGNS)}"),)),))
    if chance.random() < 0.25:
        found = replace(found, confirm=chance.choice([role for role in ROLES if role != found.who]))
    if chance.random() < 0.2:
        found = replace(found, why=(Text(chance.choice(REASONS)),))
    return found


def _doing(verb: str, part: str, tail: str, way: int = 0) -> Words:
    return (Text(DOING[verb][way] + " "), PartName(part=part), Text(tail + "."))


def _otherwise(chance: random.Random) -> Otherwise:
    return Otherwise(words=(Text(f"Call the {chance.choice(ROLES)}."),))


def edited(chance: random.Random, old: Procedure, edits: int) -> tuple[Procedure, Truth]:
    """The procedure after so many edits of different steps, and what they were."""
    truth = Truth()
    stages = [list(one.body) for one in old.body]  # type: ignore[union-attr]
    free = [step for stage in stages for step in stage]
    chance.shuffle(free)
    fresh = _ids(chance)
    known = {step.id for step in free if isinstance(step, Step)}
    for _ in range(edits):
        sort = chance.choice(("add", "remove", "move", "reword", "value", "role", "split", "merge", "confirm", "check"))
        _edit(sort, chance, stages, free, truth, lambda: next(name for name in fresh if name not in known))
    body: Body = tuple(replace(one, body=tuple(stage)) for one, stage in zip(old.body, stages, strict=True))  # type: ignore[call-arg, arg-type]
    return replace(old, body=body), truth


def _edit(sort, chance, stages, free, truth, name):  # type: ignore[no-untyped-def]
    step = next((one for one in free if _fits(sort, one)), None)
    if step is None:
        return
    stage = next(stage for stage in stages if step in stage)
    at = stage.index(step)
    match sort:
        case "add":
            new = _step(chance, name())
            stage.insert(chance.randrange(len(stage) + 1), new)
            truth.edits.add(("added", new.id, ""))
            return
        case "remove":
            if len(stage) < 3:
                return
            stage.pop(at)
            truth.edits.add(("removed", step.id, ""))
        case "move":
            if len(stages) < 2:
                return
            far = [place for place in range(len(stage)) if abs(place - at) >= 3]
            stage.pop(at)
            if far and chance.random() < 0.4:
                stage.insert(chance.choice(far), step)
            else:
                other = chance.choice([one for one in stages if one is not stage])
                other.insert(chance.randrange(len(other) + 1), step)
            truth.edits.add(("moved", step.id, ""))
        case "reword":
            words = _reworded(step, chance)
            if words == step.say:
                return
            stage[at] = replace(step, say=words)
            truth.edits.add(("reworded", step.id, "say"))
        case "value":
            reading = step.expect[0]
            high = Quantity(reading.at_most.value + chance.randint(1, 30), "mmHg")
            stage[at] = replace(step, expect=(replace(reading, at_most=high),))
            truth.edits.add(("changed", step.id, "expect"))
        case "role":
            who = chance.choice([role for role in ROLES if role not in (step.who, step.confirm)])
            stage[at] = replace(step, who=who)
            truth.edits.add(("changed", step.id, "who"))
        case "confirm":
            stage[at] = replace(step, confirm=None)
            truth.edits.add(("changed", step.id, "confirm"))
        case "check":
            stage[at] = replace(step, expect=(), if_not=None)
            truth.edits.add(("changed", step.id, "expect"))
            if step.if_not:
                truth.edits.add(("changed", step.id, "if-not"))
        case "split":
            _split(step, stage, at, truth, name())
        case "merge":
            if not _merge(step, stage, at, free, truth):
                return
    free.remove(step)


def _fits(sort: str, step: Step) -> bool:
    match sort:
        case "value":
            return bool(step.expect) and isinstance(step.expect[0], Reading)
        case "confirm":
            return step.confirm is not None
        case "check":
            return bool(step.expect)
        case "split":
            return " and " in "".join(getattr(run, "words", "") for run in step.say)
        case "merge":
            return bool(step.do) and step.do[0].verb != "turn" and not step.expect
    return True


def _reworded(step: Step, chance: random.Random) -> Words:
    if step.do:
        action = step.do[0]
        tail = chance.choice([one for one in TAILS if one != getattr(step.say[-1], "words", "")[:-1]])
        return _doing(action.verb, action.parts[0], tail, chance.choice((0, 1)))
    words = step.say[0].words  # type: ignore[union-attr]
    for one, other in SYNONYMS.items():
        words = words.replace(one, other)
    return (Text(words),)


def _split(step: Step, stage: list[Step], at: int, truth: Truth, name: str) -> None:
    words = step.say[0].words  # type: ignore[union-attr]
    first, _, second = words.partition(" and ")
    place = first.split(" ", 2)[2]
    stage[at] = replace(step, say=(Text(f"{first}."),), expect=())
    rest = second[:1].upper() + second[1:]
    new = replace(step, id=name, say=(Text(rest.replace("Watch", f"Watch the {place}")),), confirm=None, why=())
    stage.insert(at + 1, new)
    truth.edits.add(("split", step.id, ""))


def _merge(step: Step, stage: list[Step], at: int, free: list[Step], truth: Truth) -> bool:
    """Put the next step of the same sort into this one."""
    if at + 1 >= len(stage):
        return False
    other = stage[at + 1]
    same = other in free and other.who == step.who and bool(other.do) and other.do[0].verb != "turn" and not other.expect
    if not same or other.confirm or other.why or len(stage) < 3:
        return False
    both = (*step.say[:-1], Text(" and "), *_lower(other.say))
    stage[at] = replace(step, say=both, do=(*step.do, *other.do))
    stage.pop(at + 1)
    free.remove(other)
    truth.edits.add(("merged", " ".join(sorted((step.id, other.id))), ""))
    return True


def _lower(words: Words) -> Words:
    first = words[0].words  # type: ignore[union-attr]
    return (Text(first[:1].lower() + first[1:]), *words[1:])


def reminted(chance: random.Random, found: Procedure, share: float) -> tuple[Procedure, dict[str, str]]:
    """The procedure with a share of its ids minted again, and new id to old id."""
    back: dict[str, str] = {}
    fresh = iter(f"{chance.choice('pqrstuvw')}{number:03d}" for number in range(100, 999))

    def change(step: Step) -> Step:
        if chance.random() >= share:
            return step
        name = next(fresh)
        back[name] = step.id
        return replace(step, id=name)

    body = tuple(replace(one, body=tuple(change(step) for step in one.body)) for one in found.body)  # type: ignore[union-attr, call-arg, arg-type]
    return replace(found, body=body), back
