"""The square code on a card: which card, which version, which content."""

from __future__ import annotations

import io
from functools import lru_cache

import segno

from stepwell.publish.sheet import Sheet


def code_text(sheet: Sheet) -> str:
    """What the code says; no address, so that it can be read by a program that is offline."""
    return f"stepwell:{sheet.id}@{sheet.version}#{sheet.hash[:12]}"


@lru_cache(maxsize=256)
def code_svg(text: str) -> str:
    """The code as SVG with a single path, quiet zone included."""
    out = io.BytesIO()
    segno.make(text, error="m", micro=False, boost_error=False).save(
        out, kind="svg", border=4, xmldecl=False, svgns=True, nl=False
    )
    return out.getvalue().decode()
