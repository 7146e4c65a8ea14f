"""The shapes that count time or parts, on single moments and against a plain second reading of random runs."""

from __future__ import annotations

import random
from decimal import Decimal

import pytest

from stepwell.model.predicate import ALWAYS, Predicate, Ref, Selector
from stepwell.model.quantity import Quantity
from stepwell.model.rig import Part, Rig
from stepwell.model.rule import Enough, Match, NeverLonger, Shape
from stepwell.model.tri import Tri
from stepwell.rules.evaluate import Ask
from stepwell.rules.ground import GroundRule, Matched, instantiate
from stepwell.rules.moment import NEW, QUIET, Memory, Moment
from stepwell.rules.watch import finish, watch

from .bench import MAYBE, NO, RIG, YES, fact, rule, state

VENT_OPEN = fact("open", "vent")
OPEN, SHUT = state(open_vent=YES), state()


def bound(shape: Shape, when: Predicate = ALWAYS, rig: Rig = RIG, **variables: Selector) -> GroundRule:
    (instance,) = instantiate(rule(shape, when=when, **variables), rig).ground
    return instance


def act(before: Ask, after: Ask, who: str = "a", step: str = "s1", seconds: float = 0.0, verb: str = "open") -> Moment:
    parts = () if verb == "wait" else ("vent",)
    return Moment(done=((verb, parts),), before=before, after=after, who=who, step=step, seconds=seconds)


LIMIT = NeverLonger(state=VENT_OPEN, than=Quantity(Decimal(30), "s"))


def test_a_moment_in_the_state_is_right() -> None:
    made = bound(LIMIT)
    opened = watch(made, act(SHUT, OPEN), NEW)
    assert not opened.violated
    assert not watch(made, act(OPEN, SHUT, step="s2"), opened.memory).violated


@pytest.mark.parametrize(("seconds", "violated"), [(30.0, False), (30.5, True)])
def test_the_time_that_an_action_states_counts(seconds: float, violated: bool) -> None:
    assert watch(bound(LIMIT), act(SHUT, OPEN, seconds=seconds), NEW).violated is violated


def test_times_add_up_whoever_spends_them() -> None:
    made = bound(LIMIT)
    first = watch(made, act(SHUT, OPEN, seconds=20), NEW)
    second = watch(made, act(OPEN, OPEN, who="b", seconds=10, step="s2", verb="wait"), first.memory)
    assert not second.violated
    assert watch(made, act(OPEN, OPEN, who="b", seconds=1, step="s3", verb="wait"), second.memory).violated


def test_its_cause_may_not_go_on_to_another_step() -> None:
    made = bound(LIMIT)
    opened = watch(made, act(SHUT, OPEN), NEW)
    assert not watch(made, act(OPEN, OPEN), opened.memory).violated, "the same step is one thing to do"
    assert not watch(made, act(OPEN, OPEN, who="b", step="s2"), opened.memory).violated, "somebody else may act"
    assert not watch(made, act(OPEN, OPEN, step="s2", verb="wait", seconds=5), opened.memory).violated
    assert watch(made, act(OPEN, OPEN, step="s2"), opened.memory).violated


def test_what_may_be_so_counts_as_so() -> None:
    made = bound(LIMIT)
    opened = watch(made, act(SHUT, state(open_vent=MAYBE)), NEW)
    assert watch(made, act(state(open_vent=MAYBE), OPEN, step="s2"), opened.memory).violated


def test_what_was_so_at_the_start_has_no_cause_but_time_counts() -> None:
    made = bound(LIMIT)
    later = watch(made, act(OPEN, OPEN), NEW)
    assert not later.violated
    assert not watch(made, act(OPEN, OPEN, step="s2"), later.memory).violated
    assert watch(made, act(OPEN, OPEN, step="s2", seconds=31), later.memory).violated


def test_clearing_it_starts_anew() -> None:
    made = bound(LIMIT)
    opened = watch(made, act(SHUT, OPEN, seconds=20), NEW)
    shut = watch(made, act(OPEN, SHUT, step="s2"), opened.memory)
    assert shut.memory == NEW
    assert not watch(made, act(SHUT, OPEN, step="s3", seconds=20), shut.memory).violated


def test_outside_its_context_nothing_is_remembered() -> None:
    made = bound(LIMIT, when=fact("circuit-wet"))
    assert watch(made, act(SHUT, OPEN, seconds=90), NEW) == QUIET


def test_a_refused_action_spends_no_time() -> None:
    made = bound(LIMIT)
    opened = watch(made, act(SHUT, OPEN), NEW)
    refused = Moment(done=(("run", ("pump",)),), before=OPEN, after=OPEN, who="a", step="s2", seconds=90, refused=True)
    seen = watch(made, refused, opened.memory)
    assert not seen.violated
    assert seen.memory == opened.memory


@pytest.mark.parametrize("seed", range(60))
def test_never_longer_agrees_with_a_second_reading(seed: int) -> None:
    """The second reading looks at whole runs: every stretch of the state, its cause, its sum of times."""
    rng = random.Random(seed)
    values = [rng.choice((NO, YES, MAYBE)) for _ in range(9)]
    acts = [
        act(state(open_vent=was), state(open_vent=now), rng.choice("ab"), rng.choice("st"), rng.choice((0, 0, 12, 20)), verb)
        for was, now, verb in zip(values, values[1:], rng.choices(("open", "open", "wait"), k=8), strict=False)
    ]
    made = bound(LIMIT)
    memory: Memory = NEW
    seen = []
    for moment in acts:
        told = watch(made, moment, memory)
        memory = told.memory
        seen.append(told.violated)
    wanted = [_too_long(acts, values, number) for number in range(len(acts))]
    first = wanted.index(True) if True in wanted else len(acts)
    assert seen[: first + 1] == wanted[: first + 1]


def _too_long(acts: list[Moment], values: list[Tri], number: int) -> bool:
    if values[number + 1] is NO:
        return False
    began = number
    while began >= 0 and values[began] is not NO:
        began -= 1
    stretch = acts[max(began, 0) : number + 1]
    last = acts[number]
    other = began >= 0 and last is not stretch[0] and last.who == stretch[0].who and last.step != stretch[0].step
    return sum(one.seconds for one in stretch) > 30 or (other and last.done[0][0] != "wait")


def clamps(count: int, *, stated: bool = True) -> Rig:
    figure = (("count", Quantity(Decimal(count), "times")),) if stated else ()
    named = [Part(id=f"c{n}", kind="clamp", label=f"clamp {n}", traits=("roaming",)) for n in range(4)]
    fixed = Part(id="fixed", kind="clamp", label="fixed clamp")
    stock = Part(id="stock", kind="tap", label="clamps to hand", data=figure)
    return Rig(id="r", title="R", version="1", parts=(*named, fixed, stock), chains=(), baselines=())


COUNT = Enough(variable="c", over=Selector("clamp", ("roaming",)), that=fact("shut", "c"), stock=Ref("stock", "count"))


@pytest.mark.parametrize("seed", range(30))
def test_enough_counts_what_may_be_in_use(seed: int) -> None:
    rng = random.Random(seed)
    most = rng.randint(0, 4)
    values = {f"shut_c{n}": rng.choice((NO, MAYBE, YES)) for n in range(4)}
    here = state(**values, shut_fixed=YES)
    seen = watch(bound(COUNT, rig=clamps(most)), act(state(), here), NEW)
    assert seen.violated is (sum(value is not NO for value in values.values()) > most)


def test_a_stock_without_a_count_decides_nothing() -> None:
    found = instantiate(rule(COUNT), clamps(2, stated=False))
    assert found.ground == ()
    assert "has no “count”" in found.unfit[0].reasons[0]


def sensors(of: str | None, site: str | None) -> Rig:
    words = () if site is None else (("side", site),)
    line = Part(id="line", kind="line", label="line", words=words)
    named = () if of is None else (("side", of),)
    sensor = Part(id="s1", kind="pressure-sensor", label="sensor", words=named, refs=(("site", ("line",)),))
    return Rig(id="r", title="R", version="1", parts=(line, sensor), chains=(), baselines=())


SIDES = Match(of=Ref("s"), with_=Ref("s", "site"), word="side")
SENSOR = Selector("pressure-sensor")


@pytest.mark.parametrize(("of", "site", "violated"), [("before", "before", False), ("before", "after", True)])
def test_words_that_differ_do_not_match(of: str, site: str, violated: bool) -> None:
    made = bound(SIDES, rig=sensors(of, site), s=SENSOR)
    assert isinstance(made.shape, Matched)
    assert made.shape.fixed
    assert watch(made, act(SHUT, SHUT), NEW).violated is violated
    assert finish(made, SHUT).violated is violated


def test_a_part_that_claims_nothing_is_not_looked_at_but_a_claim_must_be_decided() -> None:
    nothing = instantiate(rule(SIDES, s=SENSOR), sensors(None, "before"))
    assert (nothing.ground, nothing.unfit) == ((), ())
    open_claim = instantiate(rule(SIDES, s=SENSOR), sensors("before", None))
    assert open_claim.ground == ()
    assert "does not state its “side”" in open_claim.unfit[0].reasons[0]


def test_ends_match_by_what_they_are_joined_to() -> None:
    def end(name: str, role: str) -> Part:
        return Part(id=name, kind="end", label=name, words=(("fits", "tube"), ("role", role)))

    spike = Part(id="spike", kind="end", label="spike", words=(("fits", "spike"),))
    parts = (end("de", "drain"), end("re", "return"), end("dc", "drain"), spike)
    rig = Rig(id="r", title="R", version="1", parts=parts, chains=(), baselines=())
    shape = Match(of=Ref("de"), with_=Ref("de", "joined"), word="role")
    made = bound(shape, rig=rig)
    right, wrong = state(joined_to_de_dc=YES), state(joined_to_de_re=MAYBE)
    assert not watch(made, act(SHUT, right), NEW).violated
    assert watch(made, act(SHUT, wrong), NEW).violated
    other = bound(Match(of=Ref("de"), with_=Ref("de", "joined"), word="role", same=False), rig=rig)
    assert watch(other, act(SHUT, right), NEW).violated
    assert not watch(other, act(SHUT, wrong), NEW).violated
