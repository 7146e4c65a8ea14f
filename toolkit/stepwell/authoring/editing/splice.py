"""Pieces of a text put in the place of others; everything else stays as it is, byte for byte."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """``text`` takes the place of what stands from ``start`` to ``end``."""

    start: int
    end: int
    text: str


def spliced(text: str, pieces: list[Piece]) -> str:
    """The text with every piece in its place. Pieces do not overlap; those at one place go in as they are listed."""
    out: list[str] = []
    last = 0
    for piece in sorted(pieces, key=lambda one: (one.start, one.end)):
        if piece.start < last:
            raise ValueError("pieces overlap")
        out += [text[last : piece.start], piece.text]
        last = piece.end
    return "".join([*out, text[last:]])


def difference(before: str, after: str) -> Piece:
    """The one stretch in which two texts differ: ``after`` is ``before`` with this piece in its place."""
    first = 0
    most = min(len(before), len(after))
    while first < most and before[first] == after[first]:
        first += 1
    last = 0
    while last < most - first and before[-1 - last] == after[-1 - last]:
        last += 1
    return Piece(start=first, end=len(before) - last, text=after[first : len(after) - last])
