"""A card is made smaller without losing anything, by bytes that are the same wherever it is made."""

from __future__ import annotations

import io
import zlib

import deflate
import pikepdf
import pytest

from stepwell.render.cards import engine
from stepwell.render.cards.engine import EngineError
from stepwell.render.cards.pack import LEVEL, PackError, packed
from tests.cards.made import card_of, made
from tests.cards.test_hostile import NASTY, hostile
from tests.publish.bench import emergency

WORDS = b"".join(b"step %d of %d, " % (n, n * n) for n in range(2000))
WORDS_PACKED = 4105160869


def test_the_bytes_are_these() -> None:
    """As they were when this was written, on one machine: another one, or another version, must give the same."""
    assert zlib.crc32(deflate.zlib_compress(WORDS, LEVEL)) == WORDS_PACKED
    assert zlib.decompress(deflate.zlib_compress(WORDS, LEVEL)) == WORDS


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
    assert len(after) < 0.85 * len(before)
    with pikepdf.open(io.BytesIO(before)) as one, pikepdf.open(io.BytesIO(after)) as other:
        assert not other.check_pdf_syntax()
        objects = {thing.objgen: thing for thing in one.objects}
        again = {thing.objgen: thing for thing in other.objects}
        assert set(objects) <= set(again)
        for place, thing in objects.items():
            assert thing.unparse() == again[place].unparse(), place
            if isinstance(thing, pikepdf.Stream):
                assert thing.read_bytes() == again[place].read_bytes()
                assert len(again[place].read_raw_bytes()) <= len(thing.read_raw_bytes())
                assert {key: repr(thing[key]) for key in thing if key != "/Length"} == {
                    key: repr(again[place][key]) for key in again[place] if key != "/Length"
                }
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
        lambda pdf: pdf.replace(b"stream\nx", b"stream\ny", 1),
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
