"""The numbers that Word prints in front of lines: they stand nowhere in the text and are counted here."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from xml.etree.ElementTree import Element

W = "{http://schemas.openxmlformats.org/wordprocessingml/2006/main}"
_ROMAN = ((1000, "m"), (900, "cm"), (500, "d"), (400, "cd"), (100, "c"), (90, "xc"), (50, "l"), (40, "xl"), (10, "x"))
_SMALL_ROMAN = ((9, "ix"), (5, "v"), (4, "iv"), (1, "i"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """Where a paragraph stands in a list, and its printed number ("" for a bullet)."""

    level: int
    number: str


@dataclass(frozen=True, slots=True)
class _Level:
    sort: str
    text: str
    start: int


def value(element: Element | None, name: str) -> str:
    """The ``w:val`` of a child; "" if it is not there."""
    found = None if element is None else element.find(W + name)
    return "" if found is None else found.get(W + "val", "")


def whole(text: str, default: int = 0) -> int:
    """A whole number as documents write them."""
    return int(text) if re.fullmatch(r"-?[0-9]{1,6}", text) else default


@dataclass(slots=True)
class Styles:
    """Named looks of paragraphs: their names, what each is based on, their list, and how deep a heading each is."""

    by_id: dict[str, Element] = field(default_factory=dict)

    @classmethod
    def of(cls, trees: list[Element]) -> Styles:
        """From the parts called styles."""
        return cls({style.get(W + "styleId", ""): style for tree in trees for style in tree.iter(W + "style")})

    def line(self, style: str) -> list[Element]:
        """The style and those it is based on, nearest first."""
        found: list[Element] = []
        while style in self.by_id and self.by_id[style] not in found:
            found.append(self.by_id[style])
            style = value(found[-1], "basedOn")
        return found

    def heading(self, style: str, properties: Element | None) -> int:
        """0: a title; 1 to 9: a heading; -1: neither."""
        for one in self.line(style):
            name = value(one, "name").lower()
            if name == "title":
                return 0
            if match := re.fullmatch(r"heading ([1-9])", name):
                return int(match[1])
        for holder in (properties, *(one.find(W + "pPr") for one in self.line(style))):
            level = value(holder, "outlineLvl")
            if level.isdigit() and int(level) < 9:
                return int(level) + 1
        return -1


class Lists:
    """Counts along as the paragraphs come."""

    def __init__(self, trees: list[Element], styles: Styles) -> None:
        self.styles = styles
        self.abstract: dict[str, Element] = {}
        self.nums: dict[str, Element] = {}
        for tree in trees:
            self.abstract |= {one.get(W + "abstractNumId", ""): one for one in tree.iter(W + "abstractNum")}
            self.nums |= {one.get(W + "numId", ""): one for one in tree.iter(W + "num")}
        self.counts: dict[str, list[int | None]] = {}
        self.begun: set[tuple[str, int]] = set()

    def next(self, properties: Element | None, style: str) -> Line | None:
        """The next paragraph's place in its list, or None if it is in none."""
        num, level = self._named(properties, style)
        if num in ("", "0") or num not in self.nums:
            return None
        found = self._level(num, level)
        if found is None or found.sort == "none":
            return None
        group = value(self.nums[num], "abstractNumId")
        counts = self.counts.setdefault(group, [None] * 9)
        over = self._override(num, level)
        if over is not None and (num, level) not in self.begun:
            counts[level] = over
        else:
            now = counts[level]
            counts[level] = found.start if now is None else now + 1
        self.begun.add((num, level))
        counts[level + 1 :] = [None] * (8 - level)
        if found.sort == "bullet":
            return Line(level=level, number="")
        return Line(level=level, number=self._printed(num, found.text, counts))

    def _named(self, properties: Element | None, style: str) -> tuple[str, int]:
        for holder in (properties, *(one.find(W + "pPr") for one in self.styles.line(style))):
            mark = None if holder is None else holder.find(W + "numPr")
            if mark is not None:
                num = value(mark, "numId") or self._named_by_style(style)
                level = value(mark, "ilvl") or self._level_of(num, style)
                return num, min(max(whole(level), 0), 8)
        return "", 0

    def _named_by_style(self, style: str) -> str:
        marks = (one.find(f"{W}pPr/{W}numPr") for one in self.styles.line(style))
        return next((num for mark in marks if (num := value(mark, "numId"))), "")

    def _level_of(self, num: str, style: str) -> str:
        """A list may say itself which style stands at which level."""
        abstract = self._abstract(num)
        for level in () if abstract is None else abstract.iter(W + "lvl"):
            if value(level, "pStyle") == style:
                return level.get(W + "ilvl", "0")
        return "0"

    def _abstract(self, num: str) -> Element | None:
        found = self.abstract.get(value(self.nums.get(num), "abstractNumId"))
        link = value(found, "numStyleLink")
        if link:
            return next((one for one in self.abstract.values() if value(one, "styleLink") == link), found)
        return found

    def _level(self, num: str, level: int) -> _Level | None:
        own = [one.find(W + "lvl") for one in self.nums[num].iter(W + "lvlOverride") if _at(one) == level]
        abstract = self._abstract(num)
        shared = [] if abstract is None else [one for one in abstract.iter(W + "lvl") if _at(one) == level]
        for one in (*own, *shared):
            if one is not None:
                return _Level(value(one, "numFmt") or "decimal", value(one, "lvlText"), whole(value(one, "start"), 1))
        return None

    def _override(self, num: str, level: int) -> int | None:
        for one in self.nums[num].iter(W + "lvlOverride"):
            if _at(one) == level and value(one, "startOverride"):
                return whole(value(one, "startOverride"), 1)
        return None

    def _printed(self, num: str, text: str, counts: list[int | None]) -> str:
        def number(match: re.Match[str]) -> str:
            at = int(match[1]) - 1
            level = self._level(num, at)
            now = counts[at]
            if level is None:
                return ""
            return counted(level.start if now is None else now, level.sort)

        return re.sub(r"%([1-9])", number, text).strip()


def _at(element: Element) -> int:
    return whole(element.get(W + "ilvl", ""), -1)


def counted(number: int, sort: str) -> str:
    """The number as letters, Roman or plain; a sort that is not known here is written plain."""
    if number < 1:
        return str(number)
    if sort.endswith("Letter"):
        letter = chr(ord("a") + (number - 1) % 26) * ((number - 1) // 26 + 1)
        return letter if sort.startswith("lower") else letter.upper()
    if sort.endswith("Roman") and number < 4000:
        out = ""
        for worth, sign in (*_ROMAN, *_SMALL_ROMAN):
            out += sign * (number // worth)
            number %= worth
        return out if sort.startswith("lower") else out.upper()
    return f"{number:02d}" if sort == "decimalZero" else str(number)
