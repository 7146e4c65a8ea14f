"""Deflate (RFC 1951, RFC 1950) that gives the same bytes wherever it runs.

The compressor of Python's own zlib is whatever the interpreter was built with, and those differ in their bytes; a card
laid out again on another machine would then have another hash. This one finds repetitions greedily and writes one block
with codes of its own.
"""

from __future__ import annotations

import heapq
import zlib
from collections import Counter
from collections.abc import Iterable, Mapping

_LEAST, _MOST, _REACH = 4, 258, 32768
_END = 256
_ORDER = (16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15)
Token = tuple[int, int]
"""A byte and 0, or the length of a repetition and how far back it is found."""


def deflated(data: bytes) -> bytes:
    """``data`` as a zlib stream."""
    tokens = _tokens(data)
    literals = Counter(first if not back else _LENGTHS[first][0] for first, back in tokens)
    literals[_END] += 1
    distances = Counter(_distance(back)[0] for _, back in tokens if back)
    # Two codes at least, because a code of no bits can't be written.
    lengths = _widths(literals | Counter({0: 1, 1: 1}), 15)
    backs = _widths(distances | Counter({0: 1, 1: 1}), 15)
    out = _Bits(b"\x78\x9c")
    out.put(0b101, 3)  # The last block, with codes of its own.
    _put_codes(out, lengths, backs)
    letters, ways = _codes(lengths), _codes(backs)
    for first, back in tokens:
        if not back:
            out.put(*letters[first])
            continue
        symbol, more, wide = _LENGTHS[first]
        out.put(*letters[symbol])
        out.put(more, wide)
        symbol, more, wide = _distance(back)
        out.put(*ways[symbol])
        out.put(more, wide)
    out.put(*letters[_END])
    return out.whole() + zlib.adler32(data).to_bytes(4, "big")


def _tokens(data: bytes) -> list[Token]:
    tokens: list[Token] = []
    seen: dict[bytes, int] = {}
    at, size = 0, len(data)
    while at < size:
        key = data[at : at + _LEAST]
        before = seen.get(key, -_REACH - 1)
        seen[key] = at
        if at - before > _REACH or len(key) < _LEAST:
            tokens.append((data[at], 0))
            at += 1
            continue
        length, end = _LEAST, min(size - at, _MOST)
        while length < end and data[before + length] == data[at + length]:
            length += 1
        tokens.append((length, at - before))
        # A few places to find again are enough; every place would cost more time than it saves bytes.
        for place in (at + 1, at + 2, at + length - 2, at + length - 1):
            seen[data[place : place + _LEAST]] = place
        at += length
    return tokens


class _Bits:
    """Bits in the order of the stream, the lowest first."""

    def __init__(self, start: bytes) -> None:
        self.out = bytearray(start)
        self.bits = self.width = 0

    def put(self, bits: int, width: int) -> None:
        self.bits |= bits << self.width
        self.width += width
        if self.width >= 256:
            self.out += (self.bits & _FULL).to_bytes(32, "little")
            self.bits >>= 256
            self.width -= 256

    def whole(self) -> bytes:
        return bytes(self.out) + self.bits.to_bytes((self.width + 7) // 8, "little")


_FULL = (1 << 256) - 1


def _widths(counts: Mapping[int, int], most: int) -> dict[int, int]:
    """The width of each symbol's code, none above ``most`` (Huffman; where a code is too long, rarer symbols are counted
    as if they were less rare)."""
    counts = dict(counts)
    while True:
        # The symbols make every comparison of equals the same everywhere.
        heap: list[tuple[int, tuple[int, ...]]] = [(count, (symbol,)) for symbol, count in counts.items()]
        heapq.heapify(heap)
        widths = dict.fromkeys(counts, 0)
        while len(heap) > 1:
            one, other = heapq.heappop(heap), heapq.heappop(heap)
            for symbol in one[1] + other[1]:
                widths[symbol] += 1
            heapq.heappush(heap, (one[0] + other[0], one[1] + other[1]))
        if max(widths.values()) <= most:
            return widths
        counts = {symbol: (count + 1) // 2 + 1 for symbol, count in counts.items()}


def _codes(widths: Mapping[int, int]) -> dict[int, tuple[int, int]]:
    """The canonical codes, their bits reversed as the stream wants them."""
    codes: dict[int, tuple[int, int]] = {}
    code = last = 0
    for width, symbol in sorted((width, symbol) for symbol, width in widths.items()):
        code <<= width - last
        last = width
        codes[symbol] = int(f"{code:0{width}b}"[::-1], 2), width
        code += 1
    return codes


def _put_codes(out: _Bits, lengths: Mapping[int, int], backs: Mapping[int, int]) -> None:
    """The widths of both codes, themselves in a code; runs of zeros are written as such."""
    first, second = max(lengths) + 1, max(backs) + 1
    row = [lengths.get(symbol, 0) for symbol in range(first)] + [backs.get(symbol, 0) for symbol in range(second)]
    runs = list(_runs(row))
    widths = _widths(Counter(symbol for symbol, _, _ in runs) | Counter({0: 1, 18: 1}), 7)
    number = max(at for at, symbol in enumerate(_ORDER) if symbol in widths) + 1
    for value, width in ((first - 257, 5), (second - 1, 5), (number - 4, 4)):
        out.put(value, width)
    for symbol in _ORDER[:number]:
        out.put(widths.get(symbol, 0), 3)
    codes = _codes(widths)
    for symbol, more, wide in runs:
        out.put(*codes[symbol])
        out.put(more, wide)


def _runs(row: list[int]) -> Iterable[tuple[int, int, int]]:
    at = 0
    while at < len(row):
        zeros = 0
        while at + zeros < len(row) and row[at + zeros] == 0 and zeros < 138:
            zeros += 1
        if zeros >= 11:
            yield 18, zeros - 11, 7
        elif zeros >= 3:
            yield 17, zeros - 3, 3
        else:
            yield row[at], 0, 0
            zeros = 1
        at += zeros


def _length_symbols() -> dict[int, tuple[int, int, int]]:
    """Of every length of a repetition the symbol, and its extra bits."""
    found: dict[int, tuple[int, int, int]] = {}
    length = 3
    for symbol in range(257, 285):
        extra = max(0, (symbol - 261) // 4)
        for more in range(1 << extra):
            found[length + more] = symbol, more, extra
        length += 1 << extra
    found[_MOST] = 285, 0, 0
    return found


def _distance(back: int) -> tuple[int, int, int]:
    """The symbol of a distance, and its extra bits."""
    if back < 5:
        return back - 1, 0, 0
    extra = (back - 1).bit_length() - 2
    return 2 * extra + 2 + ((back - 1) >> extra & 1), (back - 1) & ((1 << extra) - 1), extra


_LENGTHS = _length_symbols()
