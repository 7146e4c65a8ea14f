"""Emergency cards as single files: style and font inside, no script, nothing asked for. A phone opens one alone."""

from __future__ import annotations

import base64
import hashlib
from dataclasses import dataclass
from pathlib import Path

from markupsafe import Markup

from stepwell.render.site.bundles import CARD_STYLE, FONT, style


@dataclass(frozen=True, slots=True, kw_only=True)
class CardStyle:
    """The style of a card in one file, with its font; ``pin`` is the hash by which the page's policy lets it in."""

    text: Markup
    pin: str


def card_style(assets: Path) -> CardStyle:
    """The style from the folder of the assets. It is the house's own and holds nothing that an author wrote, so it alone
    goes into a page unescaped."""
    font = base64.b64encode((assets / FONT).read_bytes()).decode()
    text = style(assets, CARD_STYLE).replace(f"url({FONT})", f"url(data:font/woff2;base64,{font})")
    pin = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
    return CardStyle(text=Markup(text), pin=f"sha256-{pin}")
