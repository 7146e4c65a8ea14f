"""Rules bound to a rig."""

from __future__ import annotations

from stepwell.model.predicate import AllOf, AnyOf, Fact, Not, Quantified, Ref, Selector
from stepwell.model.rule import BeforeDoing, Never, Order
from stepwell.rules.evaluate import CANNOT_BE_ASKED
from stepwell.rules.ground import ground, instantiate, reasons, select

from .bench import RIG, fact, rule

SENSORS = Selector(kind="pressure-sensor", traits=("built-in",))


def test_a_selection_keeps_the_rigs_order_and_looks_at_kind_and_traits() -> None:
    assert [part.id for part in select(RIG, SENSORS)] == ["first", "second"]
    assert [part.id for part in select(RIG, Selector(traits=("main",)))] == ["line", "oxygenator"]
    assert [part.id for part in select(RIG, Selector(kind="clamp", without=("on-main-path",)))] == ["side-clamp"]
    assert len(select(RIG, Selector())) == len(RIG.parts)


def test_a_reference_becomes_the_part_that_the_rig_names() -> None:
    assert ground(fact("dry", "first.site"), RIG) == Fact("dry", (Ref("line"),))


def test_several_referenced_parts_are_all_meant() -> None:
    both = AllOf((Fact("dry", (Ref("line"),)), Fact("dry", (Ref("oxygenator"),))))
    assert ground(fact("dry", "second.site"), RIG) == both
    assert ground(Not(fact("dry", "second.site")), RIG) == Not(both)


def test_quantifiers_become_conjunctions_and_disjunctions() -> None:
    body = fact("zeroed", "s")
    first, second = Fact("zeroed", (Ref("first"),)), Fact("zeroed", (Ref("second"),))
    assert ground(Quantified(True, "s", SENSORS, body), RIG) == AllOf((first, second))
    assert ground(Quantified(False, "s", SENSORS, body), RIG) == AnyOf((first, second))


def test_every_one_of_none_is_so_and_some_of_none_is_not() -> None:
    nothing = Selector(kind="cannula")
    assert ground(Quantified(True, "c", nothing, fact("dry", "c")), RIG) == AllOf(())
    assert ground(Quantified(False, "c", nothing, fact("dry", "c")), RIG) == AnyOf(())


def test_words_are_not_taken_for_parts() -> None:
    assert ground(fact("position", "tap", "air"), RIG) == Fact("position", (Ref("tap"), Ref("air")))
    assert ground(fact("flow", "forward"), RIG) == Fact("flow", (Ref("forward"),))


def test_the_headspace_of_a_bag_is_a_space_of_its_own() -> None:
    assert ground(fact("dry", "bag.headspace"), RIG) == Fact("dry", (Ref("bag.headspace"),))


def test_what_the_rig_does_not_say_is_reported_with_its_reason() -> None:
    lost = ground(AllOf((fact("dry", "third.site"), fact("dry", "nowhere"))), RIG)
    assert reasons(lost) == ("third (third) has no “site”", "the rig has no part nowhere")
    assert ground(fact("no-such-fact"), RIG).name == CANNOT_BE_ASKED  # type: ignore[union-attr]
    assert reasons(ground(fact("dry"), RIG)) == ("the fact dry takes 1 arguments, not 0",)


def test_one_instance_per_binding_and_none_without_parts() -> None:
    found = instantiate(rule(Never(state=fact("falsely-zeroed", "s")), s=SENSORS), RIG)
    assert [instance.bindings for instance in found.ground] == [(("s", "first"),), (("s", "second"),)]
    assert not found.unfit
    none = instantiate(rule(Never(state=fact("dry", "c")), c=Selector(kind="cannula")), RIG)
    assert none.ground == () == none.unfit


def test_two_variables_are_bound_in_every_way() -> None:
    found = instantiate(rule(Never(state=fact("zeroed", "a")), a=SENSORS, b=SENSORS), RIG)
    assert len(found.ground) == 4


def test_a_binding_without_its_reference_is_unfit_and_the_others_stay() -> None:
    every = Selector(kind="pressure-sensor")
    found = instantiate(rule(Never(state=fact("dry", "s.site")), s=every), RIG)
    assert [dict(instance.bindings)["s"] for instance in found.ground] == ["first", "second"]
    assert [dict(unfit.bindings)["s"] for unfit in found.unfit] == ["third"]
    finding = found.unfit[0].finding(RIG)
    assert finding.rule == "rig-lacks-reference"
    assert "third (third) has no “site”" in finding.message


def test_an_action_on_a_missing_part_is_unfit() -> None:
    found = instantiate(rule(BeforeDoing(verb="zero", part=Ref("nobody"), require=AllOf(()))), RIG)
    assert found.unfit[0].reasons == ("the rig has no part nobody",)


def test_a_reference_to_several_parts_gives_an_instance_for_each() -> None:
    shape = BeforeDoing(verb="open", part=Ref("second", "site"), require=AllOf(()))
    shapes = [instance.shape for instance in instantiate(rule(shape), RIG).ground]
    assert [one.part for one in shapes if isinstance(one, BeforeDoing)] == [Ref("line"), Ref("oxygenator")]


def test_the_verbs_that_matter_are_known_beforehand() -> None:
    order = rule(Order(first=("stop", Ref("pump")), then=("part", None)))
    assert instantiate(order, RIG).ground[0].verbs == frozenset({"stop", "part"})
    assert instantiate(rule(Never(state=fact("flow", "starved"))), RIG).ground[0].verbs is None


def test_facts_are_all_that_it_asks() -> None:
    made = rule(Never(state=fact("open", "v")), when=fact("patient-attached"), v=Selector(kind="vent"))
    assert instantiate(made, RIG).ground[0].facts() == {("open", ("vent",)), ("patient-attached", ())}


def test_messages_name_parts_by_their_labels() -> None:
    made = rule(Never(state=fact("open", "v")), message="{v} on {v.of}, {x}", v=Selector(kind="vent"))
    assert instantiate(made, RIG).ground[0].message(RIG) == "The vent on the oxygenator, {x}"
