"""The key below every picture: the same in all of them, so that the eye finds it in the same place."""

from __future__ import annotations

from collections.abc import Callable

from stepwell.circuit.contents import AIR, BLOOD, CLEAR, CO2, WET
from stepwell.circuit.hydraulics import ABOVE, BELOW
from stepwell.render.drawings import symbols
from stepwell.render.drawings.paint import INK, PAPER, definitions, tube
from stepwell.render.drawings.paper import FONT, Paper
from stepwell.render.drawings.plan import SCREEN, Gate
from stepwell.render.drawings.type_size import SIZE

WIDTH = SCREEN.width
ROW = 29.0
KEY_HEIGHT = ROW * 7 + 40

_HELD = (
    (AIR, "air"),
    (CO2, "carbon dioxide"),
    (WET, "liquid with air"),
    (CLEAR, "air-free liquid"),
    (BLOOD, "blood"),
    (AIR | WET, "may be either"),
)


def draw_key(paper: Paper, y: float) -> None:
    """Two columns: what spaces hold, and what the other signs mean."""
    paper.open("g", data_key="key")
    paper.line(((8, y + 2), (WIDTH - 8, y + 2)), stroke=INK, stroke_width=1)
    row = y + 30
    for mask, words in _HELD:
        tube(paper, ((12, row), (58, row)), mask, wide=True, changed=False)
        paper.text((70, row + 5.5), words)
        row += ROW
    tube(paper, ((12, row), (34, row)), AIR, wide=True, changed=True)
    paper.rect(48, row - 9, 5, 18, fill=INK)
    paper.text((70, row + 5.5), "changed by this step", font_weight=700)
    row = y + 30
    for draw, words in _signs():
        draw(paper, row)
        paper.text((308, row + 5.5), words)
        row += ROW
    paper.close("g")


def key_picture() -> str:
    """The key alone, for pages with many pictures."""
    paper = Paper()
    height = round(KEY_HEIGHT)
    paper.open(
        "svg", xmlns="http://www.w3.org/2000/svg", viewBox=f"0 0 {WIDTH:.0f} {height}", width=WIDTH, height=height,
        role="img", aria_labelledby="title", font_family=FONT, font_size=SIZE, fill=INK,
    )  # fmt: skip
    paper.open("title", id="title")
    paper.words("How to read the drawings")
    paper.close("title")
    definitions(paper, {mask for mask, _ in _HELD})
    paper.rect(0, 0, WIDTH, height, fill=PAPER)
    draw_key(paper, 0)
    paper.close("svg")
    return "".join(paper.lines) + "\n"


def _signs() -> tuple[tuple[Callable[[Paper, float], None], str], ...]:
    def clamps(words: str) -> Callable[[Paper, float], None]:
        def drawn(paper: Paper, y: float) -> None:
            tube(paper, ((250, y), (296, y)), AIR, wide=False, changed=False)
            one = Gate(part="", kind="clamp", at=(273, y), out=(1.0, 0.0))
            symbols.gate(paper, one, (words,), changed=False)

        return drawn

    def marks(mask: int) -> Callable[[Paper, float], None]:
        return lambda paper, y: symbols.pressure(paper, (273, y), mask)

    def arrows(sure: bool) -> Callable[[Paper, float], None]:
        return lambda paper, y: symbols.arrow(paper, (273, y), (1.0, 0.0), sure=sure)

    return (
        (clamps("open"), "hollow: open"),
        (arrows(True), "flows this way"),
        (clamps("shut"), "solid: shut"),
        (arrows(False), "may flow this way"),
        (marks(ABOVE), "above the air’s pressure"),
        (marks(BELOW), "below the air’s pressure"),
        (marks(ABOVE | BELOW), "pressure not known"),
    )
