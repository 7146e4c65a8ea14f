"""A smaller PDF of the same objects: those without a stream go into one object stream, the table of places too, and the
streams of pages and fonts are packed tighter.

The typesetter writes each of them as text with a line of 20 bytes in the table; of a card with tags that is most of the
file. Object streams and cross-reference streams are part of PDF 1.5 (ISO 32000-1, 7.5.7 and 7.5.8), and PDF/A-2 and
PDF/UA-1 are made on PDF 1.7. Nothing is changed within an object but the packing of its stream.

The compressor is pinned, as the typesetter is: that of Python's own zlib is whatever the interpreter was built with, and
those differ in their bytes, so that a card laid out again on another machine would have another hash.
"""

from __future__ import annotations

import re
import zlib
from dataclasses import dataclass

import deflate

LEVEL = 10
"""Of the compressor's twelve; the two above save half a percent and take twice as long (measured on the demo's cards)."""
STREAM_LEVEL = 9
"""Of streams, which are many times larger: the next level saves two percent and takes four times as long."""
_BEGIN, _END = b"\nstream\n", b"\nendstream"
_LENGTH = re.compile(rb"/Length (\d+)")
_ENTRY = re.compile(rb"(\d{10}) (\d{5}) ([nf])")
_ROW = re.compile(rb"(\d+) 0 obj\s*\Z")


class PackError(ValueError):
    """The file is not laid out as the typesetter of the pinned version lays it out."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _File:
    """The pieces of a PDF: ``objects`` by number, each the bytes between ``obj`` and ``endobj``; ``trailer`` its inside."""

    head: bytes
    objects: dict[int, bytes]
    trailer: bytes


def packed(pdf: bytes) -> bytes:
    """The same document. Raises PackError for a file that can't be taken apart without a doubt."""
    file = _taken_apart(pdf)
    loose = {number: _tighter(body) for number, body in file.objects.items() if body.endswith(_END)}
    tight = {number: body for number, body in file.objects.items() if number not in loose}
    holder, table = max(file.objects) + 1, max(file.objects) + 2
    out = bytearray(file.head)
    places: dict[int, tuple[int, int, int]] = {0: (0, 0, 65535)}
    for number, body in {**loose, holder: _object_stream(tight)}.items():
        places[number] = (1, len(out), 0)
        out += b"%d 0 obj\n%s\nendobj\n" % (number, body)
    for index, number in enumerate(tight):
        places[number] = (2, holder, index)
    start = len(out)
    places[table] = (1, start, 0)
    out += b"%d 0 obj\n%s\nendobj\nstartxref\n%d\n%%%%EOF" % (table, _table(places, table + 1, file.trailer), start)
    return bytes(out)


def _taken_apart(pdf: bytes) -> _File:
    """By the table of places, never by searching: an author's words may look like anything."""
    found = re.search(rb"startxref\n(\d+)\n%%EOF\s*\Z", pdf)
    if found is None:
        raise PackError("the file has no end")
    table = int(found[1])
    inside = re.match(rb"xref\n0 (\d+)\n(.*)trailer\n<<(.*)>>\nstartxref\n", pdf[table:], re.DOTALL)
    if inside is None:
        raise PackError("the file has no table of places")
    rows = _ENTRY.findall(inside[2])
    used = sorted((int(at), number) for number, (at, generation, kind) in enumerate(rows) if kind == b"n")
    if len(rows) != int(inside[1]) or any(int(g) for _, g, kind in rows if kind == b"n") or not used:
        raise PackError("the table of places is not whole")
    objects: dict[int, bytes] = {}
    for (at, number), (end, _) in zip(used, (*used[1:], (table, 0)), strict=True):
        piece = pdf[at:end].rstrip()
        head, _, rest = piece.partition(b"\n")
        named = _ROW.match(head)
        if named is None or int(named[1]) != number or not rest.endswith(b"\nendobj"):
            raise PackError(f"object {number} is not where the table says")
        objects[number] = rest.removesuffix(b"\nendobj")
    return _File(head=pdf[: used[0][0]], objects=objects, trailer=inside[3])


def _tighter(body: bytes) -> bytes:
    """A stream that is packed alone by Flate, packed again; any other as it is."""
    head, _, rest = body.partition(_BEGIN)
    data = rest.removesuffix(_END)
    packed_alone = b"/Filter/FlateDecode" in head and b"/DecodeParms" not in head
    if not packed_alone or _LENGTH.findall(head) != [b"%d" % len(data)]:
        return body
    try:
        again = deflate.zlib_compress(zlib.decompress(data), STREAM_LEVEL)
    except zlib.error as error:
        raise PackError(f"a stream can't be unpacked: {error}") from error
    if len(again) >= len(data):
        return body
    return _LENGTH.sub(b"/Length %d" % len(again), head) + _BEGIN + bytes(again) + _END


def _object_stream(objects: dict[int, bytes]) -> bytes:
    """Numbers and offsets, then the objects one behind the other."""
    places, at = [], 0
    for number, body in objects.items():
        places.append(b"%d %d" % (number, at))
        at += len(body) + 1
    head = b" ".join(places) + b"\n"
    data = deflate.zlib_compress(head + b"\n".join(objects.values()), LEVEL)
    return b"<</Type/ObjStm/N %d/First %d/Filter/FlateDecode/Length %d>>\nstream\n%s\nendstream" % (
        len(objects),
        len(head),
        len(data),
        data,
    )


def _table(places: dict[int, tuple[int, int, int]], size: int, trailer: bytes) -> bytes:
    """The cross-reference stream. Each row is written as its difference from the row above (PNG filter "up"), because
    the rows of neighbours in an object stream differ by one."""
    wide = max(2, (max(second for _, second, _ in places.values()).bit_length() + 7) // 8)
    width = 1 + wide + 2
    above, rows = bytes(width), bytearray()
    for number in range(size):
        kind, second, third = places.get(number, (0, 0, 65535))
        row = bytes((kind,)) + second.to_bytes(wide, "big") + third.to_bytes(2, "big")
        rows.append(2)
        rows += bytes((new - old) & 0xFF for new, old in zip(row, above, strict=True))
        above = row
    data = deflate.zlib_compress(bytes(rows), LEVEL)
    kept = re.sub(rb"/Size \d+", b"", trailer)
    return (
        b"<</Type/XRef/Size %d/W[1 %d 2]%s/Filter/FlateDecode/DecodeParms<</Predictor 12/Columns %d>>/Length %d>>\n"
        b"stream\n%s\nendstream" % (size, wide, kept, width, len(data), data)
    )
