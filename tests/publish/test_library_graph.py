"""Which card leads to which."""

from __future__ import annotations

from dataclasses import replace

from stepwell.model.procedure import Otherwise, Procedure, Starts
from stepwell.model.workspace import Workspace
from stepwell.publish.library_graph import Lead, Way, graph_of
from tests.site.unit import AIR, PRIME, SMALL, WORKSPACE


def space(*procedures: Procedure) -> Workspace:
    return replace(WORKSPACE, procedures=procedures)


def after(other: str, of: Procedure) -> Procedure:
    return replace(of, starts=Starts(procedure=other))


def if_not(of: Procedure, card: str) -> Procedure:
    (step,) = of.body
    return replace(of, body=(replace(step, if_not=Otherwise(card=card)),))


def test_answers_failed_expectations_and_starts_are_ways() -> None:
    first, second = if_not(SMALL[3], AIR.id), after(PRIME.id, SMALL[4])
    graph = graph_of(space(PRIME, AIR, first, second))
    assert set(graph.leads) == {
        Lead(source=PRIME.id, target=AIR.id, way=Way.ANSWER, mark="7", answer="Yes, a column of air"),
        Lead(source=first.id, target=AIR.id, way=Way.IF_NOT, mark="1"),
        Lead(source=PRIME.id, target=second.id, way=Way.STARTS),
    }
    assert [lead.target for lead in graph.out_of(PRIME.id)] == [AIR.id, second.id]
    assert len(graph.into(AIR.id)) == 2
    assert graph.dangling == ()


def test_cards_stand_behind_the_one_they_start_from_and_emergencies_last() -> None:
    change, cylinder = SMALL[4], after(SMALL[4].id, SMALL[3])
    order = [node.id for node in graph_of(space(AIR, cylinder, PRIME, SMALL[5], change)).nodes]
    assert order == [PRIME.id, change.id, cylinder.id, SMALL[5].id, AIR.id]


def test_a_way_round_still_shows_every_card_once() -> None:
    one, two = after(SMALL[4].id, SMALL[3]), after(SMALL[3].id, SMALL[4])
    assert sorted(node.id for node in graph_of(space(one, two)).nodes) == sorted((one.id, two.id))


def test_what_leads_nowhere_and_what_nothing_leads_to() -> None:
    graph = graph_of(space(if_not(SMALL[0], "gone"), after("lost", SMALL[3]), SMALL[1], replace(SMALL[4], hands_over=True)))
    assert [(lead.source, lead.target) for lead in graph.dangling] == [(SMALL[0].id, "gone"), ("lost", SMALL[3].id)]
    assert [node.id for node in graph.reached_by_none] == [SMALL[0].id, SMALL[1].id]
    assert [node.id for node in graph.handed_to_nobody] == [SMALL[4].id]
