"""How wide words are, roughly: pictures are shown in whatever sans serif the reader's device has."""

from __future__ import annotations

SIZE = 16.0
LEADING = 18.5

_NARROW = frozenset("iljI.,:;'|! ")
_SLIM = frozenset("ftr()[]-/1")
_WIDE = frozenset("mwMW@%")


def width_of(words: str, *, bold: bool = False) -> float:
    """An upper estimate of a line's width in units of the picture."""
    return sum(map(_em, words)) * SIZE * (1.07 if bold else 1.0)


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


def wrap(words: str, width: float, *, bold: bool = True) -> tuple[str, ...]:
    """Lines no wider than ``width``; a word that is wider is broken, behind a hyphen if it has one.

    Measured bold, so that weight never moves a line.
    """
    lines: list[str] = []
    line = ""
    for word in _pieces(words, width, bold):
        joined = f"{line} {word}" if line else word
        if line and width_of(joined, bold=bold) > width:
            lines.append(line)
            line = word
        else:
            line = joined
    return (*lines, line) if line else tuple(lines) or ("",)


def _pieces(words: str, width: float, bold: bool) -> list[str]:
    out: list[str] = []
    for word in words.split():
        piece = ""
        for char in word:
            if piece and width_of(piece + char, bold=bold) > width:
                # Behind a hyphen, if the word has one.
                at = piece.rfind("-") + 1 or len(piece)
                out.append(piece[:at])
                piece = piece[at:]
            piece += char
        out.append(piece)
    return out


def broken(lines: tuple[str, ...], words: str) -> bool:
    """Whether a word had to be broken elsewhere than behind a hyphen."""
    at = 0
    for line in lines[:-1]:
        at += len(line)
        if words[at : at + 1] == " ":
            at += 1
        elif not line.endswith("-"):
            return True
    return False


def one_line(words: str, width: float) -> str:
    """The words, or as many as fit on a line with an ellipsis behind them."""
    if width_of(words, bold=True) <= width:
        return words
    kept = words
    while kept and width_of(kept + "…", bold=True) > width:
        kept = kept[:-1]
    return kept.rstrip(" ,;:.") + "…"
