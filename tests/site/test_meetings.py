"""A meeting on the page of a procedure, and on the way through it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from stepwell.model.procedure import Lanes, Meet
from stepwell.publish.build import build_sheet
from stepwell.render.site.build import build_site
from stepwell.render.site.route import route_of
from tests.site.unit import AS_OF, PRIME, REPORT, WORKSPACE

NAME = "Dry <checks> done"
BODY = tuple(
    replace(item, lanes=tuple(replace(lane, body=(Meet(name=NAME), *lane.body)) for lane in item.lanes))
    if isinstance(item, Lanes)
    else item
    for item in PRIME.body
)
MEETING = replace(PRIME, body=BODY)


def test_the_page_tells_whom_to_wait_for_and_escapes_the_name(tmp_path: Path) -> None:
    procedures = tuple(MEETING if one.id == PRIME.id else one for one in WORKSPACE.procedures)
    build_site(replace(WORKSPACE, procedures=procedures), REPORT, as_of=AS_OF, out=tmp_path)
    page = (tmp_path / f"en/{PRIME.id}.html").read_text(encoding="utf-8")
    assert page.count("Wait here for") == 2
    assert "Dry &lt;checks&gt; done" in page
    assert "<checks>" not in page


def test_the_way_stops_at_each_meeting() -> None:
    before = route_of(build_sheet(WORKSPACE, PRIME, None, AS_OF).items)
    after = route_of(build_sheet(WORKSPACE, MEETING, None, AS_OF).items)
    assert after.stops == before.stops + 2
    assert after.onward["meet-1"] == "e5f6"
    assert after.onward["meet-2"] == "g7h8"
