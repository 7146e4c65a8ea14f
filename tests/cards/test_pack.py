"""A card is made smaller without losing anything, by bytes that are the same wherever it is made."""

from __future__ import annotations

import io
import zlib

import pikepdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stepwell.render.cards import engine
from stepwell.render.cards.deflate import deflated
from stepwell.render.cards.engine import EngineError
from stepwell.render.cards.pack import PackError, packed
from tests.cards.made import card_of, made
from tests.cards.test_hostile import NASTY, hostile
from tests.publish.bench import emergency

DEFLATED_NOTHING = "789c05c1010d000000c090bf7f690000000001"
DEFLATED_WORDS = 2517239736
PIECES = st.lists(st.tuples(st.binary(max_size=40), st.integers(1, 30)), max_size=30)


@settings(max_examples=150, deadline=None)
@given(PIECES)
def test_what_is_compressed_is_read_by_another_program(pieces: list[tuple[bytes, int]]) -> None:
    data = b"".join(piece * times for piece, times in pieces)
    assert zlib.decompress(deflated(data)) == data


@pytest.mark.parametrize("size", [0, 1, 2, 3, 4, 5, 257, 258, 259, 262, 32767, 32768, 32769, 40000])
def test_at_the_borders_of_lengths_and_distances(size: int) -> None:
    rising = bytes(n * n % 251 for n in range(size))
    for data in (bytes(size), rising, b"abcd" + rising + b"abcd", b"\xff" * size + b"\x00"):
        assert zlib.decompress(deflated(data)) == data


def test_very_uneven_bytes_keep_their_codes_short() -> None:
    """Counts that grow like Fibonacci's numbers give the longest codes; 15 bits are the most that the format has."""
    counts = [1, 1]
    while len(counts) < 24:
        counts.append(counts[-1] + counts[-2])
    # No four bytes come twice in a row of changing neighbours, so that nearly all are written as themselves.
    data = b"".join(bytes((at,)) * count for at, count in enumerate(counts[:20]))
    mixed = bytes(data[n * 7919 % len(data)] for n in range(len(data)))
    assert zlib.decompress(deflated(mixed)) == mixed


def test_the_bytes_are_these() -> None:
    """As they were when this was written, by hand on one machine: another one must give the same."""
    assert deflated(b"").hex() == DEFLATED_NOTHING
    assert zlib.crc32(deflated(b"step " * 40 + b"well")) == DEFLATED_WORDS


def raw(given: object) -> bytes:
    """The bytes as the typesetter gives them, before they are packed."""
    kept: list[bytes] = []

    def catch(pdf: bytes) -> bytes:
        kept.append(pdf)
        return packed(pdf)

    patch = pytest.MonkeyPatch()
    with patch.context() as context:
        context.setattr(engine, "packed", catch)
        card_of(given)  # type: ignore[arg-type]
    return kept[-1]


@pytest.mark.parametrize("given", [emergency(), hostile(NASTY[1]), hostile("endobj endstream 7 0 obj << >> xref trailer")])
def test_every_object_is_what_it_was(given: object) -> None:
    before = raw(given)
    after = packed(before)
    assert len(after) < 0.8 * len(before)
    with pikepdf.open(io.BytesIO(before)) as one, pikepdf.open(io.BytesIO(after)) as other:
        assert not other.check_pdf_syntax()
        objects = {thing.objgen: thing for thing in one.objects}
        again = {thing.objgen: thing for thing in other.objects}
        assert set(objects) <= set(again)
        for place, thing in objects.items():
            assert thing.unparse() == again[place].unparse(), place
            if isinstance(thing, pikepdf.Stream):
                assert thing.read_raw_bytes() == again[place].read_raw_bytes()
        assert str(one.trailer.Root.objgen) == str(other.trailer.Root.objgen)
        assert bytes(one.trailer.ID[0]) == bytes(other.trailer.ID[0])
        assert "/Encrypt" not in other.trailer


def test_the_metadata_can_be_read_without_unpacking() -> None:
    """Programs that look for the standard in the bytes find it."""
    assert b"pdfaid:part" in made("emergency")[1].pdf
    assert b"pdfuaid:part" in made("emergency")[1].pdf


@pytest.mark.parametrize(
    "harm",
    [
        lambda pdf: b"",
        lambda pdf: pdf[:-8],
        lambda pdf: pdf.replace(b"startxref\n", b"startxref\n1"),
        lambda pdf: pdf.replace(b"0 obj\n<<", b"0 obk\n<<", 1),
        lambda pdf: pdf.replace(b"\nendobj\n", b"\nendxxx\n", 1),
        lambda pdf: pdf.replace(b" 00000 n", b" 00001 n", 1),
        lambda pdf: pdf.replace(b"trailer\n<<", b"trailer\n[[", 1),
    ],
)
def test_a_file_that_is_laid_out_otherwise_is_refused(harm) -> None:  # type: ignore[no-untyped-def]
    before = raw(emergency())
    with pytest.raises(PackError):
        packed(harm(before))


def test_a_refusal_is_a_fault_of_the_tool(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(pdf: bytes) -> bytes:
        raise PackError("for this test")

    monkeypatch.setattr(engine, "packed", refuse)
    with pytest.raises(EngineError, match="for this test"):
        card_of(emergency())


@pytest.mark.parametrize("name", ["emergency", "routine"])
def test_a_card_weighs_at_most_60_kib(name: str) -> None:
    assert len(made(name)[1].pdf) <= 60 * 1024
