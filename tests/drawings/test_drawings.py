"""A drawing shows every part with its label and state, and nothing moves from one state to the next."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from stepwell.circuit.catalogue import part_kind
from stepwell.circuit.contents import AIR, BLOOD, CLEAR, CO2, WET
from stepwell.model.rig import Chain, Part, Rig
from stepwell.publish.translated import in_language, language_of
from stepwell.render.drawings.draw import Picture, draw
from stepwell.render.drawings.paint import contents_words, every_possibility
from stepwell.render.drawings.place import plan_of
from stepwell.render.drawings.plan import SCREEN, SHEET, Frame
from stepwell.render.drawings.type_size import width_of
from stepwell.report.circuit_state import CircuitState, PartState
from stepwell.source.read_fixed_words import fixed_words
from tests import demo
from tests.drawings.bench import SVG, rigs, states, texts

EVERY_RIG = pytest.mark.parametrize("rig", rigs(), ids=lambda rig: rig.id)
QUIET = CircuitState(parts=(), flow=("none",), ways=())


def blocks(svg: str) -> dict[str, str]:
    root = ElementTree.fromstring(svg)
    return {one.attrib["data-part"]: " ".join(one.itertext()) for one in root.iter(f"{SVG}g") if "data-part" in one.attrib}


@EVERY_RIG
def test_every_part_is_drawn_once_with_its_label(rig: Rig) -> None:
    for name, state in states(rig).items():
        svg = draw(rig, Picture(state=state, caption=name))
        found = blocks(svg)
        assert sorted(found) == sorted(part.id for part in rig.parts)
        for part in rig.parts:
            words = re.sub(r"\W+", "", found[part.id])
            assert re.sub(r"\W+", "", part.label) in words, part.id
        places = [block.part for block in plan_of(rig, SCREEN).blocks]
        assert len(places) == len(set(places))


@EVERY_RIG
def test_the_description_tells_every_part_and_state(rig: Rig) -> None:
    for name, state in states(rig).items():
        root = ElementTree.fromstring(draw(rig, Picture(state=state, caption=name)))
        assert root.attrib["role"] == "img"
        assert root.attrib["aria-labelledby"] == "title desc"
        told = root.findtext(f"{SVG}desc") or ""
        assert root.findtext(f"{SVG}title") == f"{rig.title}: {name}"
        assert all(re.search(re.escape(part.label) + "[:;]", told) for part in rig.parts)


@EVERY_RIG
def test_nothing_moves_between_states(rig: Rig) -> None:
    """Words may change; where labels, tubes and bodies are may not."""
    seen = set()
    for state in states(rig).values():
        root = ElementTree.fromstring(draw(rig, Picture(state=state, caption="x")))
        first = {g.attrib["data-part"]: g[0] for g in root.iter(f"{SVG}g") if "data-part" in g.attrib}
        seen.add(
            (
                root.attrib["viewBox"],
                tuple((name, text.attrib["x"], text.attrib["y"]) for name, text in sorted(first.items())),
            )
        )
    assert len(seen) == 1


@EVERY_RIG
def test_the_same_picture_is_the_same_bytes(rig: Rig) -> None:
    for state in states(rig).values():
        picture = Picture(state=state, changed=frozenset(part.id for part in rig.parts[:3]), caption="Step 1")
        assert draw(rig, picture) == draw(replace(rig, title=rig.title), picture)


@EVERY_RIG
def test_nothing_comes_from_outside_and_nothing_runs(rig: Rig) -> None:
    for state in states(rig).values():
        svg = draw(rig, Picture(state=state))
        assert not re.search(r"<script|<foreignObject|<style|\bon\w+=|href=|url\((?!#)|@import", svg)
        assert set(re.findall(r"https?://[^\"]+", svg)) == {"http://www.w3.org/2000/svg"}
        assert len(svg) < 40_000


@EVERY_RIG
def test_words_can_be_read_on_a_telephone(rig: Rig) -> None:
    """At 375 px a picture as wide as the screen shows its smallest type at 10 px or more; labels at 12."""
    root = ElementTree.fromstring(draw(rig, Picture(state=next(iter(states(rig).values())), foot=("small print",))))
    sizes = [float(one.attrib.get("font-size", root.attrib["font-size"])) for one in root.iter(f"{SVG}text")]
    scale = 375 / SCREEN.width
    assert min(sizes) * scale >= 9.7
    assert float(root.attrib["font-size"]) * scale >= 12


def test_what_changed_is_heavier_and_marked() -> None:
    rig = rigs()[0]
    first = next(iter(states(rig).values()))
    plain = draw(rig, Picture(state=first))
    marked = draw(rig, Picture(state=first, changed=frozenset({"prime-line"})))
    assert blocks(plain) == blocks(marked)
    root = ElementTree.fromstring(marked)
    group = next(one for one in root.iter(f"{SVG}g") if one.attrib.get("data-part") == "prime-line")
    assert {one.attrib["font-weight"] for one in group.iter(f"{SVG}text")} == {"700"}
    assert group.find(f"{SVG}rect") is not None
    other = next(one for one in root.iter(f"{SVG}g") if one.attrib.get("data-part") == "drain-limb")
    assert {one.attrib["font-weight"] for one in other.iter(f"{SVG}text")} == {"400"}
    assert "Changed: prime line:" in (root.findtext(f"{SVG}desc") or "")


def test_words_of_an_author_stay_words() -> None:
    rig = rigs()[0]
    hostile = '"><script>alert(1)</script>&amp;\x00\x1b]]>\ud800'
    parts = tuple(replace(part, label=hostile + part.id) for part in rig.parts)
    evil = replace(rig, title=hostile, parts=parts)
    svg = draw(evil, Picture(state=next(iter(states(rig).values())), caption=hostile, foot=(hostile,)))
    root = ElementTree.fromstring(svg)
    assert not list(root.iter(f"{SVG}script"))
    assert "<script>alert(1)</script>" in (root.findtext(f"{SVG}desc") or "")
    svg.encode()


def test_equipment_of_an_unknown_kind_is_a_labelled_box_with_its_words() -> None:
    rig = rigs()[0]
    strange = Part(id="lift", kind="bed-lift", label="bed lift", refs=(("site", ("oxygenator",)),))
    state = next(iter(states(rig).values()))
    known = replace(state, parts=(*state.parts, PartState(part="lift", words=("half-up", "locked"))))
    words = blocks(draw(replace(rig, parts=(*rig.parts, strange)), Picture(state=known)))["lift"]
    assert "bed lift" in words
    assert "half up, locked" in words
    assert part_kind("bed-lift") is None


def test_a_rig_of_any_shape_is_drawn() -> None:
    rig = rigs()[0]
    for chains in (
        (),
        rig.chains[:1],
        rig.chains[4:],
        rig.chains[::-1],
        tuple(Chain(parts=c.parts[::-1]) for c in rig.chains),
    ):
        svg = draw(replace(rig, chains=chains), Picture(state=QUIET))
        assert sorted(blocks(svg)) == sorted(part.id for part in rig.parts)


def test_a_chain_between_two_places_of_the_circuit_names_them() -> None:
    rig = rigs()[0]
    bridge = Part(id="bridge", kind="line", label="bridge line")
    chain = Chain(parts=("post-line", "bridge", "drain-limb"))
    state = next(iter(states(rig).values()))
    svg = draw(replace(rig, parts=(*rig.parts, bridge), chains=(*rig.chains, chain)), Picture(state=state))
    assert "bridge line" in blocks(svg)["bridge"]
    words = " ".join(texts(svg))
    assert "at pump" in words
    assert "at drainage limb" in words


def test_what_is_not_certain_is_said_to_be_so() -> None:
    assert contents_words(WET | CLEAR) == "may hold air"
    assert contents_words(AIR | WET) == "may be dry"
    assert contents_words(CLEAR) == "air-free"
    assert every_possibility(AIR | WET | BLOOD) == "may be air, liquid with air or blood"
    assert contents_words(AIR | CO2) == "air or carbon dioxide"


def test_a_word_is_not_lost_where_it_is_broken() -> None:
    rig = rigs()[0]
    long = "a" * 70
    parts = tuple(replace(part, label=long) if part.id == "return-limb" else part for part in rig.parts)
    svg = draw(replace(rig, parts=parts), Picture(state=next(iter(states(rig).values()))))
    assert blocks(svg)["return-limb"].replace("- ", "").startswith(long)
    parted = [line for line in texts(svg) if "aaa" in line]
    assert len(parted) > 1
    assert all(line.endswith("-") and set(line[:-1]) == {"a"} for line in parted[:-1])
    assert set(parted[-1]) == {"a"}


@pytest.mark.parametrize("code", ["en", "de"])
@pytest.mark.parametrize("frame", [SCREEN, SHEET], ids=["screen", "sheet"])
@EVERY_RIG
def test_room_is_kept_for_the_longest_state(rig: Rig, frame: Frame, code: str) -> None:
    """No label lies on another in any state that a baseline has, in either language."""
    language = language_of(demo.workspace(), fixed_words(code))
    there = next(one for one in in_language(demo.workspace(), language).rigs if one.id == rig.id)
    for state in states(there).values():
        svg = draw(there, Picture(state=state, frame=frame, language=language))
        found = []
        for group in (one for one in ElementTree.fromstring(svg).iter(f"{SVG}g") if "data-part" in one.attrib):
            for one in group.iter(f"{SVG}text"):
                wide, x, y = 0.85 * width_of("".join(one.itertext())), float(one.attrib["x"]), float(one.attrib["y"])
                left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[one.attrib.get("text-anchor", "start")]
                found.append((group.attrib["data-part"], left, y - 11.0, left + wide, y + 1.0))
        for at, (part, left, top, right, bottom) in enumerate(found):
            for other, low, high, end, foot in found[at + 1 :]:
                assert part == other or right <= low or end <= left or bottom <= high or foot <= top, (part, other)
