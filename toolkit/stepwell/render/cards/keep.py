"""Drafts of cards that are kept, and found again by everything that they depend on.

The key is the SHA-256 of the sheet, the day, the paper, the set and its starts (for a card that shows them), the files
of the layout, the versions of the typesetter and of what makes the square code, and the salt of the cache (the tool's own
source). A card that is released is always laid out anew.
"""

from __future__ import annotations

import json
from base64 import b64decode, b64encode
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import cache as once
from functools import lru_cache
from hashlib import sha256
from importlib.metadata import version

from stepwell.diagnostics.finding import Finding
from stepwell.model.procedure import Kind
from stepwell.model.rig import Rig
from stepwell.model.workspace import Workspace
from stepwell.publish.sheet import Sheet
from stepwell.render.cards.paper import A4, Paper
from stepwell.render.cards.render import CardResult, render_card
from stepwell.render.cards.sizes import Sizes
from stepwell.render.cards.start import start_in
from stepwell.render.cards.template_files import template_files
from stepwell.report.keep import Cache, NoCache, read, written
from stepwell.report.plain import plain
from stepwell.report.results import CheckReport

FORMAT = "stepwell card 1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A card as text: ``pdf`` in Base64, ``sizes`` as main and detail."""

    pdf: str
    pages: int
    findings: tuple[Finding, ...]
    sizes: tuple[float, float]


def card_of(
    sheet: Sheet,
    as_of: date,
    workspace: Workspace,
    report: CheckReport,
    cache: Cache,
    render: Callable[..., CardResult] = render_card,
    paper: Paper = A4,
) -> CardResult:
    """The card of a sheet, laid out only if it was not kept. Raises EngineError if the tool itself fails."""
    key: str | None = None
    if not isinstance(cache, NoCache) and sheet.release is None:
        key = _key(sheet, as_of, workspace, report, cache, paper)
    text = None if key is None else cache.get(key)
    kept = None if key is None or text is None else read(Kept, key, text)
    if kept is not None:
        main, detail = kept.sizes
        sizes = Sizes(main=main, detail=detail)
        return CardResult(pdf=b64decode(kept.pdf), pages=kept.pages, findings=kept.findings, sizes=sizes)
    card = render(sheet, as_of=as_of, start=start_in(workspace, report, sheet), paper=paper)
    if key is not None:
        sizes_as = (float(card.sizes.main), float(card.sizes.detail))
        whole = Kept(pdf=b64encode(card.pdf).decode(), pages=card.pages, findings=card.findings, sizes=sizes_as)
        cache.put(key, written(key, whole))
    return card


def _key(sheet: Sheet, as_of: date, workspace: Workspace, report: CheckReport, cache: Cache, paper: Paper) -> str | None:
    """None for what has no plain form, which is then never kept."""
    shown: tuple[object, ...] = ()
    if sheet.kind == Kind.ROUTINE.value:
        rigs = tuple(_seen(rig) for rig in workspace.rigs if rig.id == sheet.rig.id)
        said = () if sheet.language == "en" else tuple(t for t in workspace.translations if t.language == sheet.language)
        starts = tuple(one.starts for one in report.procedures if one.procedure == sheet.id)
        shown = (rigs, said, starts)
    try:
        seen = plain((FORMAT, cache.salt, _layout(), sheet, as_of, paper.name, shown))
    except TypeError:
        return None
    return sha256(json.dumps(seen, ensure_ascii=False).encode("utf-8", "surrogatepass")).hexdigest()


@lru_cache(maxsize=64)
def _seen(rig: Rig) -> str:
    """A rig is the same for many cards."""
    return json.dumps(plain(rig), ensure_ascii=False)


@once
def _layout() -> tuple[object, ...]:
    return version("typst"), version("deflate"), version("segno"), template_files()
