"""A search that builds upon another one against a search from the start: what is new in a changed body is the same."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Hashable
from dataclasses import fields, replace
from functools import partial
from random import Random

import pytest

from stepwell.model.bodies import each_leaf
from stepwell.model.procedure import Body, Choose, Hold, Item, Otherwise, Stage, Step, steps_of
from stepwell.orders.compile import compile_body
from stepwell.orders.glimpse import glimpse
from stepwell.orders.search import Bounds, Follow, Search, search
from stepwell.orders.upon import build_upon
from tests.orders.bodies import Maker, lanes
from tests.orders.reference import Facts
from tests.orders.test_composition import facts_of
from tests.orders.toy import Toy, ToyWorld

KINDS = (
    *("left out", "other action", "done twice", "moved up", "moved beside the rest", "waits for another", "waits no more"),
    *("moved beside the start", "moved into an answer", "not looked at", "all of them not looked at"),
)
OF_RUNS = ("violated", "refused", "blocked", "aborted", "ended")


def changed(body: Body, random: Random, kind: str) -> Body:
    """The body with something changed at one step; itself where that can't be."""
    steps = list(steps_of(body))
    if not steps:
        return body
    chosen = random.choice(steps)
    other = random.choice(steps)

    def change(leaf: Step | Hold) -> Item | None:
        if kind == "all of them not looked at":
            return replace(leaf, expect=()) if isinstance(leaf, Step) else replace(leaf, until=())
        if not isinstance(leaf, Step) or leaf.id != chosen.id:
            return leaf
        match kind:
            case "left out":
                return None if random.random() < 0.5 else replace(leaf, do=(), expect=())
            case "other action":
                return replace(leaf, do=other.do)
            case "done twice":
                return Stage(title="", body=(leaf, replace(leaf, id=f"{leaf.id}~2", after=(), expect=(), optional=False)))
            case "waits for another":
                return replace(leaf, after=(*leaf.after, other.id))
            case "waits no more":
                return replace(leaf, after=())
            case "not looked at":
                return replace(leaf, expect=())
        return None

    if kind == "moved into an answer":
        return into_an_answer(body)
    if kind == "waits no more":
        chosen = next((step for step in steps if step.after), chosen)
    found, alone = each_leaf(body, change), (replace(chosen, after=()),)
    match kind:
        case "moved up":
            return (*alone, *found)
        case "moved beside the rest":
            return (lanes(alone, found),)
        case "moved beside the start":
            return (lanes(alone, found[:1]), *found[1:])
    return found


def into_an_answer(body: Body) -> Body:
    """The body in which what stands behind a question is done after its first answer alone, where there is such a thing."""
    for at, item in enumerate(body[:-1]):
        if isinstance(item, Choose):
            one = item.outcomes[0]
            longer = replace(item, outcomes=(replace(one, body=(*one.body, body[at + 1])), *item.outcomes[1:]))
            return (*body[:at], longer, *body[at + 2 :])
    return body


def with_jump(body: Body, random: Random) -> Body:
    """The body with one look that sends the run back, or forward, to another step."""
    looking = [step for step in steps_of(body) if step.expect]
    if not looking:
        return body
    chosen, to = random.choice(looking), random.choice(list(steps_of(body)))

    def change(leaf: Step | Hold) -> Item:
        return replace(leaf, if_not=Otherwise(step=to.id)) if isinstance(leaf, Step) and leaf.id == chosen.id else leaf

    return each_leaf(body, change)


def new_facts(facts: Facts, base: Facts) -> dict[str, dict[Hashable, int]]:
    """What a changed body leads to, and the body as it was does not."""
    return {
        spec.name: {key: length for key, length in getattr(facts, spec.name).items() if key not in getattr(base, spec.name)}
        for spec in fields(facts)
        if spec.name in OF_RUNS
    }


def explored(body: Body, world: ToyWorld) -> Search[Toy]:
    return Search(compile_body(body), world, None, Bounds(), time.monotonic, Follow.EVERY)


def compared(seed: int) -> tuple[str, int, int, int]:
    """(kind of change, places met from the start, places met by building upon the body as it was, what is new)."""
    random = Random(seed)
    body = Maker(random.randrange, 9, meets=random.random() < 0.3).body(3)
    body = with_jump(body, random) if random.random() < 0.3 else body
    world = ToyWorld(random, refusals=10)
    kind = KINDS[seed % len(KINDS)]
    then = changed(body, random, kind)
    old = explored(body, world)
    base = facts_of(old.program, old.run())
    program = compile_body(then)
    whole = search(program, world, bounds=Bounds(), clock=time.monotonic)
    wanted = new_facts(facts_of(program, whole), base)
    upon = explored(then, world)
    begun = build_upon(old, upon)
    levels, reason = upon.explore(begun)
    assert reason is None
    part = upon.found.result(upon.places, upon.states, upon.control, levels, "in part")
    assert new_facts(facts_of(program, part), base) == wanted
    return kind, whole.states, part.states, sum(map(len, wanted.values()))


@pytest.mark.nightly
@pytest.mark.parametrize("first", range(3_000, 60_000, 3_000))
def test_many_more_changed_bodies(first: int) -> None:
    for seed in range(first, first + 3_000):
        compared(seed)


def test_what_is_new_in_a_changed_body_is_the_same() -> None:
    """And it is no lame comparison: much is left out, something new is found, by every sort of change."""
    new: Counter[str] = Counter()
    saved: Counter[str] = Counter()
    for seed in range(2_000):
        kind, whole, part, found = compared(seed)
        new[kind] += found > 0
        saved[kind] += part < whole
    assert min(new[kind] for kind in KINDS[:-1]) > 1, new
    assert min(saved.values()) > 50, saved


@pytest.mark.parametrize("follow", [Follow.FIRST, Follow.LAST])
def test_a_glimpse_that_builds_upon_another_sees_the_same(follow: Follow) -> None:
    seen = fewer = 0
    for seed in range(600):
        random = Random(seed)
        body = Maker(random.randrange, 9).body(3)
        world = ToyWorld(random, refusals=10)
        then = compile_body(changed(body, random, KINDS[seed % len(KINDS)]))

        look = partial(glimpse, world=world, follow=follow, bounds=Bounds(), clock=time.monotonic)
        base = look(compile_body(body), wanted=None)
        wanted = frozenset({"state", "order", "end"}) - base.broken
        anew, upon = look(then, wanted=wanted), look(then, wanted=wanted, upon=base)
        assert upon.broken == anew.broken
        assert anew.every or not upon.every
        # A base that breaks what is wanted is not built upon.
        everything = frozenset({"state", "order", "end"})
        assert look(then, wanted=everything, upon=base).broken == look(then, wanted=everything).broken
        seen += bool(anew.broken)
        fewer += len(upon.search.places.keys) < len(anew.search.places.keys)
    assert seen > 20
    assert fewer > 200
