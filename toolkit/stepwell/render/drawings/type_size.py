"""How wide words are, roughly, and where their lines end.

Pictures on a screen are shown in whatever sans serif the reader's device has, so that widths are estimates on the wide
side. On a card the typeface is known and its widths with it (``printed``).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate

from stepwell.render.drawings import advances
from stepwell.render.drawings.hyphens import JOINT, SOFT_HYPHEN, SYLLABLE, Hyphens, words_in

SIZE = 16.0
LEADING = 18.5
BOLD = 1.07
PAIRS = 1.01
"""Some pairs of letters are set a little further apart than by their own widths: a line may be wider by so much."""

_NARROW = frozenset("iljI.,:;'|! ")
_SLIM = frozenset("ftr()[]-/1")
_WIDE = frozenset("mwMW@%")

# What a line costs, and each way of ending one: fewer lines come first, then ends that need no hyphen.
_LINE, _BEHIND_HYPHEN, _BY_AUTHOR, _AT_JOINT, _IN_PART, _ANYWHERE = 1000, 1, 2, 5, 5000, 100_000


@dataclass(frozen=True, slots=True)
class _End:
    """A line may end at ``end``, the next begins at ``next``; a ``hyphen`` is put behind it."""

    end: int
    next: int
    hyphen: bool
    cost: int


def width_of(words: str, *, bold: bool = False, printed: bool = False) -> float:
    """An upper estimate of a line's width in units of the picture; its width if it is printed on a card."""
    return sum(_wide(char, bold, printed) for char in words)


def _wide(char: str, bold: bool, printed: bool) -> float:
    known = (advances.BOLD if bold else advances.REGULAR).get(char) if printed else None
    return SIZE * (_em(char) * (BOLD if bold else 1.0) if known is None else known)


def _em(char: str) -> float:
    if char in _NARROW:
        return 0.29
    if char in _SLIM:
        return 0.4
    if char in _WIDE:
        return 0.88
    if char.isupper() or ord(char) > 0x2E7F:
        return 0.68 if ord(char) <= 0x2E7F else 1.0
    return 0.56


def unhyphened(words: str) -> str:
    """The words without an author's soft hyphens."""
    return words.replace(SOFT_HYPHEN, "")


@lru_cache(maxsize=16384)
def wrap(
    words: str, width: float, *, plain: int = 0, hyphens: Hyphens | None = None, printed: bool = False
) -> tuple[str, ...]:
    """Lines no wider than ``width``, as few as can be.

    A word is broken behind its own hyphen, at an author's soft hyphen or where a compound word is joined, if that saves
    a line; in a part of it only if it is wider than a line. What is measured is bold from the character ``plain`` on, so
    that weight never moves a line.
    """
    text = " ".join(words.split())
    clean = unhyphened(text)
    sizes = [_wide(char, at >= plain, printed) for at, char in enumerate(clean)]
    far = [0.0, *accumulate(sizes)]
    if far[-1] <= width:
        return (clean,)
    ends = _plain_ends(clean, text)
    longest = max((len(word) for _, word in words_in(clean)), default=0)
    joined = hyphens is not None and hyphens.compounds and longest >= 2 * JOINT
    if joined and hyphens is not None:
        ends += _hyphened(clean, hyphens, joints=True)
    found = _fewest(clean, far, width, ends)
    if found is None and hyphens is not None:
        ends += _hyphened(clean, hyphens, joints=False)
        found = _fewest(clean, far, width, ends)
    if found is None:
        ends += [_End(at, at, clean[at - 1 : at + 1].isalpha(), _ANYWHERE) for at in range(1, len(clean))]
        found = _fewest(clean, far, width, ends, always=True)
    return found or (clean,)


def _plain_ends(clean: str, text: str) -> list[_End]:
    """Blanks, hyphens of the words' own, and an author's soft hyphens."""
    ends = [_End(at, at + 1, False, 0) for at, char in enumerate(clean) if char == " "]
    ends += [
        _End(at + 1, at + 1, False, _BEHIND_HYPHEN)
        for at, char in enumerate(clean)
        if char == "-" and clean[at - 1 : at].isalnum() and clean[at + 1 : at + 2].isalnum()
    ]
    softs = [at for at, char in enumerate(text) if char == SOFT_HYPHEN]
    return ends + [_End(at - number, at - number, True, _BY_AUTHOR) for number, at in enumerate(softs)]


def _hyphened(clean: str, hyphens: Hyphens, *, joints: bool) -> list[_End]:
    """Where long words may be broken: between the words that they are joined from, or anywhere between syllables."""
    found = []
    for start, word in words_in(clean):
        if len(word) >= 2 * (JOINT if joints else SYLLABLE):
            places = hyphens.joints(word) if joints else hyphens.syllables(word)
            found += [_End(start + at, start + at, True, _AT_JOINT if joints else _IN_PART) for at in places]
    return found


def _fewest(clean: str, far: list[float], width: float, ends: list[_End], *, always: bool = False) -> tuple[str, ...] | None:
    """The cheapest lines that fit; of equal ones those whose first lines are fuller. None if a word is too wide."""
    stops = {one.next: one for one in sorted(ends, key=lambda one: -one.cost) if 0 < one.next < len(clean)}
    last = _End(len(clean), len(clean), False, 0)
    order = [*(stops[at] for at in sorted(stops)), last]
    hyphen = _em("-") * SIZE * BOLD
    best: dict[int, tuple[int, _End] | None] = {len(clean): (0, last)}
    for start in sorted({0, *stops}, reverse=True):
        best[start] = None
        for one in order:
            if one.next <= start:
                continue
            wide = far[one.end] - far[start] + (hyphen if one.hyphen else 0.0)
            rest = best.get(one.next)
            if wide > width and not (always and one.next == start + 1):
                if far[one.end] - far[start] > width:
                    break
                continue
            if rest is None:
                continue
            cost = rest[0] + _LINE + one.cost
            known = best[start]
            if known is None or cost <= known[0]:
                best[start] = (cost, one)
    return _lines(clean, best)


def _lines(clean: str, best: dict[int, tuple[int, _End] | None]) -> tuple[str, ...] | None:
    at, lines = 0, []
    while at < len(clean):
        found = best.get(at)
        if found is None:
            return None
        lines.append(clean[at : found[1].end] + ("-" if found[1].hyphen else ""))
        at = found[1].next
    return tuple(lines)


def taken(words: str, at: int, line: str) -> int:
    """How many characters of ``words`` from ``at`` stand on a line; a hyphen that was put behind it is none of them."""
    return len(line) if words.startswith(line, at) else len(line) - 1


def two_weights(lines: tuple[str, ...], words: str, plain: int) -> list[tuple[str, str]]:
    """Of each line what is plain and what is bold, ``words`` being bold from the character ``plain`` on."""
    at, found = 0, []
    for line in lines:
        here = max(0, min(len(line), plain - at))
        found.append((line[:here], line[here:]))
        at += taken(words, at, line)
        # A line break may stand for a blank.
        at += words[at : at + 1] == " "
    return found


def broken(lines: tuple[str, ...], words: str) -> bool:
    """Whether a word had to be broken without a hyphen."""
    at = 0
    for line in lines[:-1]:
        at += taken(words, at, line)
        if words[at : at + 1] == " ":
            at += 1
        elif not line.endswith("-"):
            return True
    return False


def hyphened(lines: tuple[str, ...], words: str) -> int:
    """How many hyphens were put behind lines."""
    at = number = 0
    for line in lines[:-1]:
        long = taken(words, at, line)
        number += long < len(line)
        at += long
        at += words[at : at + 1] == " "
    return number


def one_line(words: str, width: float) -> str:
    """The words, or as many as fit on a line with an ellipsis behind them."""
    if width_of(words, bold=True) <= width:
        return words
    kept = words
    while kept and width_of(kept + "…", bold=True) > width:
        kept = kept[:-1]
    return kept.rstrip(" ,;:.") + "…"
