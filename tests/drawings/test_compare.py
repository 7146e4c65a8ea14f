"""A drawing to hold a set against: every part is told once, in words that are whole, whatever the state and the language."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from stepwell.circuit.entry import Family
from stepwell.model.language import MARK
from stepwell.model.rig import Rig
from stepwell.publish.translated import in_language, language_of
from stepwell.render.drawings.compare import UNSHOWN, Form, ToCompare, has_circuit, to_compare
from stepwell.render.drawings.skeleton import family
from stepwell.render.drawings.type_size import broken, hyphened, width_of, wrap
from stepwell.report.circuit_state import CircuitState
from stepwell.source.read_fixed_words import fixed_words
from tests import demo
from tests.drawings.bench import SVG, rigs, states

EVERY_RIG = pytest.mark.parametrize("rig", rigs(), ids=lambda rig: rig.id)
LEAST, MOST = 0.2613, 0.3266
"""The size of a unit in mm whose capitals fill 16 and 20 minutes of arc at 60 cm."""
GERMAN = language_of(demo.workspace(), fixed_words("de"))


def told(drawing: Form) -> dict[str, str]:
    """What stands beside each part in the picture."""
    root = ElementTree.fromstring(drawing.svg)
    groups = [one for one in root.iter(f"{SVG}g") if "data-part" in one.attrib]
    return {one.attrib["data-part"]: " ".join("".join(line.itertext()) for line in one) for one in groups}


def placed(drawing: ToCompare) -> tuple[Form, ...]:
    """The forms that are taken in a low, a middling and a high room of a page, each once."""
    found = [drawing.best(178.0, room, LEAST, MOST) for room in (100.0, 170.0, 235.0)]
    return tuple(one for at, one in enumerate(found) if all(one is not other for other in found[:at]))


def squeezed(words: str) -> str:
    return re.sub(r"\s", "", words)


@EVERY_RIG
def test_every_part_is_told_once(rig: Rig) -> None:
    for state in states(rig).values():
        drawing = to_compare(rig, [state])
        beside = dict(drawing.beside)
        for said in map(told, placed(drawing)):
            for part in rig.parts:
                if family(part) is Family.EQUIPMENT:
                    assert part.id not in said
                    words = next(one for one in state.parts if one.part == part.id).words
                    assert part.label in beside or set(words) <= UNSHOWN
                elif part.id in said:
                    assert squeezed(said[part.id]).startswith(squeezed(part.label))
                    assert part.label not in beside
                else:
                    assert part.kind in ("line", "cannula")
                    contents = (drawing.tubing, drawing.below or drawing.tubing)
                    assert any(f"{part.label}: {one}" in drawing.told for one in contents)
                if family(part) is not Family.EQUIPMENT:
                    assert f"{part.label}:" in drawing.told


@EVERY_RIG
def test_gates_and_ends_say_their_state(rig: Rig) -> None:
    for state in states(rig).values():
        said = told(placed(to_compare(rig, [state]))[0])
        for one in state.parts:
            part = rig.part(one.part)
            if part is not None and part.kind in ("clamp", "vent") and one.words:
                assert said[part.id].endswith(f": {one.words[0].replace('-', ' ')}"), part.id
            if part is not None and part.kind == "end":
                words = {"covered": "covered", "bare": "open to air"}.get(one.mate, "joined")
                assert f": {words}" in said[part.id], part.id


@EVERY_RIG
def test_the_state_is_bold_and_the_label_is_not(rig: Rig) -> None:
    drawing = placed(to_compare(rig, [next(iter(states(rig).values()))]))[0]
    root = ElementTree.fromstring(drawing.svg)
    for group in (one for one in root.iter(f"{SVG}g") if "data-part" in one.attrib):
        part = rig.part(group.attrib["data-part"])
        assert part is not None
        plain = squeezed("".join(line.text or "" for line in group))
        bold = squeezed("".join("".join(span.itertext()) for line in group for span in line))
        assert plain in ("", squeezed(part.label) + ":", squeezed(part.label))
        assert not plain.endswith(":") or bold


@EVERY_RIG
def test_no_english_word_is_broken_and_words_keep_apart(rig: Rig) -> None:
    for state in states(rig).values():
        for drawing in placed(to_compare(rig, [state])):
            root = ElementTree.fromstring(drawing.svg)
            assert not [one for one in told(drawing).values() if re.search(r"\w:\w", one)]
            for group in (one for one in root.iter(f"{SVG}g") if "data-part" in one.attrib):
                lines = tuple("".join(line.itertext()) for line in group)
                whole = drawing.picture.said[[name for name, _ in drawing.picture.said].index(group.attrib["data-part"])][1]
                assert not broken(lines, whole)
                assert not hyphened(lines, whole), lines


@EVERY_RIG
def test_in_german_nothing_is_english(rig: Rig) -> None:
    there = next(one for one in in_language(demo.workspace(), GERMAN).rigs if one.id == rig.id)
    for state in states(there).values():
        drawing = to_compare(there, [state], GERMAN)
        words = " ".join(
            (placed(drawing)[0].svg, drawing.told, drawing.tubing, *(one for pair in drawing.beside for one in pair))
        )
        assert MARK not in words
        assert not re.search(r"\b(shut|open|covered|joined|seated|zeroed|stands|blood|pump head)\b", words)


def test_where_two_starts_are_permitted_a_part_says_both_in_a_frame() -> None:
    rig = next(one for one in rigs() if one.id == "adult-va")
    first = next(iter(states(rig).values()))

    def turned(state: CircuitState, part: str, word: str) -> CircuitState:
        return replace(state, parts=tuple(replace(p, words=(word,)) if p.part == part else p for p in state.parts))

    both = to_compare(rig, [turned(first, "drain-clamp", "open"), turned(first, "drain-clamp", "shut")])
    assert both.unsure == {"drain-clamp"}
    for form in placed(both):
        assert told(form)["drain-clamp"].strip().endswith("open or shut")
        assert form.svg.count('rx="6"') == 1
    assert placed(to_compare(rig, [first]))[0].svg.count('rx="6"') == 0


def test_what_nobody_has_shown_yet_is_not_asked_for() -> None:
    """Else a kit that lies ready, or a battery that was tried, would be something to put right."""
    seen = set()
    for rig in rigs():
        for state in states(rig).values():
            seen |= UNSHOWN & {word for one in state.parts for word in one.words}
            said = to_compare(rig, [state])
            words = {word for _, told in said.beside for word in told.split(", ")}
            assert not words & {"missing", "battery unproven", "mains unproven", "untested"}
    assert seen == UNSHOWN


def test_pressures_and_movement_are_not_drawn() -> None:
    """Nobody can hold them against what they see."""
    for rig in rigs():
        for state in states(rig).values():
            assert 'r="8.6"' not in placed(to_compare(rig, [state]))[0].svg


def test_the_same_state_gives_the_same_bytes() -> None:
    for rig in rigs():
        state = next(iter(states(rig).values()))
        one, other = to_compare(rig, [state]), to_compare(replace(rig), [state])
        assert one == other
        assert [form.svg for form in placed(one)] == [form.svg for form in placed(other)]


def test_a_set_without_tubing_has_no_circuit() -> None:
    rig = rigs()[0]
    assert has_circuit(rig)
    assert not has_circuit(replace(rig, chains=()))
    assert not has_circuit(replace(rig, parts=()))


def test_long_words_break_behind_a_hyphen() -> None:
    assert wrap("Drainagekanülen-Klemme", 150.0) == ("Drainagekanülen-", "Klemme")
    assert not broken(("Drainagekanülen-", "Klemme: zu"), "Drainagekanülen-Klemme: zu")
    assert broken(("Rezirkulationskle", "mme"), "Rezirkulationsklemme")
    assert not broken(("return", "clamp"), "return clamp")


def boxes(svg: str) -> list[tuple[str, float, float, float, float]]:
    """Each line of words as left, top, right, bottom of its letters, as the cards' typeface has them."""
    found = []
    for one in ElementTree.fromstring(svg).iter(f"{SVG}text"):
        words = "".join(one.itertext())
        bold = "".join("".join(span.itertext()) for span in one)
        wide = width_of(one.text or "", printed=True) + width_of(bold, bold=True, printed=True)
        x, y = float(one.attrib["x"]), float(one.attrib["y"])
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[one.attrib.get("text-anchor", "start")]
        found.append((words, left, y - 11.0, left + wide, y + 2.0))
    return found


@EVERY_RIG
@pytest.mark.parametrize("code", ["en", "de"])
def test_no_words_lie_on_others_on_the_pump_or_outside(rig: Rig, code: str) -> None:
    language = language_of(demo.workspace(), fixed_words(code))
    there = next(one for one in in_language(demo.workspace(), language).rigs if one.id == rig.id)
    for state in states(there).values():
        given = to_compare(there, [state], language)
        good = [one for group in given.forms()[:-1] for one in group if not one.faults and not one.broken]
        assert good
        for drawing in good:
            _nothing_lies_on_anything(drawing)


def _nothing_lies_on_anything(drawing: Form) -> None:
    lines = boxes(drawing.svg)
    for at, (words, left, top, right, bottom) in enumerate(lines):
        assert left >= 0, words
        assert right <= drawing.width, words
        assert bottom <= drawing.height, words
        for other, low, high, end, foot in lines[at + 1 :]:
            assert right <= low or end <= left or bottom <= high or foot <= top, (words, other)
    circles = [one for one in ElementTree.fromstring(drawing.svg).iter(f"{SVG}circle") if float(one.attrib["r"]) > 20]
    assert circles
    for one in circles:
        x, y, r = (float(one.attrib[name]) for name in ("cx", "cy", "r"))
        for words, left, top, right, bottom in lines:
            nearest = min(max(x, left), right), min(max(y, top), bottom)
            assert (nearest[0] - x) ** 2 + (nearest[1] - y) ** 2 >= r * r, words


@EVERY_RIG
def test_all_that_is_drawn_is_among_its_texts(rig: Rig) -> None:
    """They are searched for what is not translated."""
    for state in states(rig).values():
        drawing = to_compare(rig, [state])
        told_of = squeezed(" ".join(drawing.texts()))
        for line in ("".join(one.itertext()) for one in ElementTree.fromstring(placed(drawing)[0].svg).iter(f"{SVG}text")):
            assert squeezed(line).removesuffix("-") in told_of


def test_in_german_a_cap_that_is_off_is_not_said_to_be_shut() -> None:
    """In English one word serves caps and taps; of a tap it means shut, of a cap that the way is open."""
    seen = set()
    for rig in in_language(demo.workspace(), GERMAN).rigs:
        for state in states(rig).values():
            said = told(placed(to_compare(rig, [state], GERMAN))[0])
            for one in state.parts:
                part = rig.part(one.part)
                if part is not None and part.kind == "cap":
                    words = said[part.id].partition(":")[2].split(",")[0].strip()
                    assert words == {"on": "an", "off": "ab"}[one.words[0]], said[part.id]
                    seen.add(words)
    assert seen == {"an", "ab"}
