"""Without colour every state is still told from every other: pixels of the rendered shapes are compared in grey."""

from __future__ import annotations

import io
from collections.abc import Callable
from itertools import combinations

import pypdfium2
import pytest
import typst
from PIL import Image, ImageChops, ImageStat

from stepwell.circuit.contents import AIR, BLOOD, CLEAR, CO2, WET
from stepwell.circuit.hydraulics import ABOVE, BELOW
from stepwell.render.drawings import symbols
from stepwell.render.drawings.paint import definitions, tube
from stepwell.render.drawings.paper import Paper
from stepwell.render.drawings.plan import End, Gate, Vessel
from stepwell.resources import data_dir

CONTENTS = (AIR, CO2, WET, CLEAR, BLOOD, AIR | WET, WET | CLEAR, WET | BLOOD)


def grey(paint: Callable[[Paper], None]) -> Image.Image:
    """What is painted on a small white sheet, without its colours."""
    paper = Paper()
    paper.open("svg", xmlns="http://www.w3.org/2000/svg", viewBox="0 0 80 80", width=80, height=80)
    definitions(paper, set(CONTENTS))
    paint(paper)
    paper.close("svg")
    source = '#set page(width: 80pt, height: 80pt, margin: 0pt)\n#image(bytes(sys.inputs.svg), format: "svg")'
    fonts = typst.Fonts(include_system_fonts=False, font_paths=[str(data_dir("site_templates") / "fonts")])
    pdf = typst.compile(source.encode(), font_paths=fonts, sys_inputs={"svg": "".join(paper.lines)})
    assert isinstance(pdf, bytes)
    document = pypdfium2.PdfDocument(io.BytesIO(pdf))
    image: Image.Image = document[0].render(scale=2).to_pil().convert("L")
    return image


def difference(one: Image.Image, other: Image.Image) -> float:
    """The mean difference of the darker half of the picture, from 0 to 255."""
    return float(ImageStat.Stat(ImageChops.difference(one, other)).mean[0])


def told_apart(pictures: dict[str, Image.Image], least: float) -> None:
    for (one, first), (other, second) in combinations(pictures.items(), 2):
        assert difference(first, second) > least, f"{one} and {other}"


def test_contents_are_told_apart_without_colour() -> None:
    def wide(mask: int) -> Callable[[Paper], None]:
        return lambda paper: tube(paper, ((0, 40), (80, 40)), mask, wide=True, changed=False)

    # Only the inside counts: the walls are the same, and at three quarters of a point to a unit it is here.
    inner = (0, 51, 120, 69)
    told_apart({str(mask): grey(wide(mask)).crop(inner) for mask in CONTENTS}, 20.0)


@pytest.mark.parametrize(
    ("kind", "words"), [("clamp", ("open", "shut")), ("cap", ("on", "off")), ("vent", ("shut", "open"))]
)
def test_gates_are_told_apart(kind: str, words: tuple[str, str]) -> None:
    def one(word: str) -> Callable[[Paper], None]:
        gate = Gate(part="g", kind=kind, at=(40, 40), out=(1.0, 0.0))
        return lambda paper: symbols.gate(paper, gate, (word,), changed=False)

    told_apart({word: grey(one(word)) for word in words}, 2.0)


def test_taps_ends_and_pressures_are_told_apart() -> None:
    body = Vessel(part="t", kind="tap", x=27, y=27, width=26, height=26, out=(1.0, 0.0))
    taps = ("off", "line", "air", "all")
    told_apart({word: grey(lambda p, w=word: symbols.vessel(p, body, AIR, (w,), changed=False)) for word in taps}, 1.0)
    end = End(part="e", at=(40, 40), out=(0.0, -1.0), space="s")
    told_apart(
        {mate: grey(lambda p, m=mate: symbols.end(p, end, m, changed=False)) for mate in ("covered", "bare", "x")}, 2.0
    )
    marks = {"above": ABOVE, "below": BELOW, "unknown": ABOVE | BELOW}
    told_apart({name: grey(lambda p, m=mask: symbols.pressure(p, (40, 40), m)) for name, mask in marks.items()}, 0.6)


def test_what_changed_is_seen_without_colour() -> None:
    for mask in CONTENTS:
        before = grey(lambda paper, m=mask: tube(paper, ((0, 40), (80, 40)), m, wide=True, changed=False))
        after = grey(lambda paper, m=mask: tube(paper, ((0, 40), (80, 40)), m, wide=True, changed=True))
        assert difference(before, after) > 2.0


def test_sure_and_possible_movement_are_told_apart() -> None:
    sure, may = (grey(lambda p, s=s: symbols.arrow(p, (40, 40), (1.0, 0.0), sure=s)) for s in (True, False))
    assert difference(sure, may) > 0.6
