"""The way through a sheet, one stop at a time."""

from __future__ import annotations

from stepwell.publish.build import build_sheet
from stepwell.render.site.route import END, route_of
from tests.site.unit import AIR, AS_OF, PRIME, WORKSPACE


def test_every_kind_of_block_leads_on() -> None:
    route = route_of(build_sheet(WORKSPACE, PRIME, None, AS_OF).items)
    line = ["k7f3"]
    while line[-1] != END:
        line.append(route.onward[line[-1]])
    assert line[:8] == ["k7f3", "m2q8", "a1b2", "c3d4", "e5f6", "g7h8", "j9k1", "n2p3"]
    assert line[8:] == ["r1aa", "q7aa", "h1aa", "u6v7", END]
    assert route.again == {"r1aa": "n2p3"}
    assert route.answer("q7aa", 0) == "s4t5"
    assert route.onward["s4t5"] == "h1aa"
    assert route.answer("q7aa", 2) == "h1aa"
    assert route.stops == len(line) + 1, "the step of the outcome is a stop of its own"


def test_the_last_step_leads_to_the_end() -> None:
    route = route_of(build_sheet(WORKSPACE, AIR, None, AS_OF).items)
    assert route.onward["b6aa"] == END
