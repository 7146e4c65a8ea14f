"""A sheet to draw on: SVG elements as text, numbers rounded, every word of an author escaped."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

Point = tuple[float, float]

FONT = "'Atkinson Hyperlegible Next', Inter, Roboto, Helvetica, Arial, 'Liberation Sans', sans-serif"


def number(value: float) -> str:
    """One decimal at most, never ``-0``."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def shown(words: str) -> str:
    """Words without characters that XML forbids and without soft hyphens; line breaks become spaces."""
    words = words.replace("\u00ad", "")
    return "".join(c if c >= " " and not 0xD800 <= ord(c) <= 0xDFFF and ord(c) < 0xFFFE else " " for c in words)


def attributes(values: dict[str, str | float]) -> str:
    """Attributes in the order given; ``stroke_width`` becomes ``stroke-width``."""
    return "".join(
        f" {name.replace('_', '-')}={quoteattr(value if isinstance(value, str) else number(value))}"
        for name, value in values.items()
    )


@dataclass(frozen=True, slots=True)
class Words:
    """A line of words that is not painted but set by whoever shows the picture: ``at`` is the edge of its base line that
    ``side`` says (``start``, ``middle`` or ``end``), ``bold`` stands behind ``plain``."""

    at: Point
    side: str
    plain: str
    bold: str


class Paper:
    """Collects elements in the order in which they are painted; ``aside`` the lines of words, if they are not painted."""

    def __init__(self, *, words_aside: bool = False) -> None:
        self.lines: list[str] = []
        self.words_aside = words_aside
        self.aside: list[Words] = []

    def add(self, name: str, **values: str | float) -> None:
        """An element without children."""
        self.lines.append(f"<{name}{attributes(values)}/>")

    def open(self, name: str, **values: str | float) -> None:
        """The start of an element with children."""
        self.lines.append(f"<{name}{attributes(values)}>")

    def close(self, name: str) -> None:
        """The end of such an element."""
        self.lines.append(f"</{name}>")

    def words(self, words: str) -> None:
        """Text of an element without attributes of its own, such as a title."""
        self.lines.append(escape(shown(words)))

    def rect(self, x: float, y: float, width: float, height: float, **values: str | float) -> None:
        """A rectangle by its upper left corner."""
        self.add("rect", x=x, y=y, width=width, height=height, **values)

    def circle(self, at: Point, radius: float, **values: str | float) -> None:
        """A circle by its centre."""
        self.add("circle", cx=at[0], cy=at[1], r=radius, **values)

    def line(self, points: Iterable[Point], **values: str | float) -> None:
        """An open path through points."""
        self.add("path", d=_path(points), **values)

    def shape(self, points: Iterable[Point], **values: str | float) -> None:
        """A closed path through points."""
        self.add("path", d=_path(points) + "z", **values)

    def text(self, at: Point, words: str, **values: str | float) -> None:
        """One line of text; ``at`` is the left end (or as ``text_anchor`` says) of its base line."""
        if self.words_aside:
            self.aside.append(Words(at, str(values.get("text_anchor", "start")), shown(words), ""))
            return
        inner = escape(shown(words))
        self.lines.append(f"<text{attributes({'x': at[0], 'y': at[1], **values})}>{inner}</text>")

    def text_in_two(self, at: Point, plain: str, bold: str, **values: str | float) -> None:
        """One line of text whose second part is bold; either part may be empty."""
        if self.words_aside:
            self.aside.append(Words(at, str(values.get("text_anchor", "start")), shown(plain), shown(bold)))
            return
        heavy = f'<tspan font-weight="700">{escape(shown(bold))}</tspan>' if bold else ""
        # Kept, because the blank between the two parts is the last of one element or the first of the other.
        named = attributes({"x": at[0], "y": at[1], "xml:space": "preserve", **values})
        self.lines.append(f"<text{named}>{escape(shown(plain))}{heavy}</text>")


def _path(points: Iterable[Point]) -> str:
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)
