"""The script by which a browser keeps the emergencies for when there is no network. Over http(s) alone."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from pathlib import Path

WORKER = "sw.js"
"""It stands at the top of the site, for a browser lets it look after its own folder and what is below."""
_GAP = 'var LIST = [], BUILD = "";'


def worker_script(folder: Path, pages: Mapping[str, str], assets: Mapping[str, bytes], kept: Iterable[str]) -> bytes:
    """The script for a finished site. ``kept`` are the paths to keep after the first visit.

    It bears a digest of every page and file, so that any change of the site makes browsers keep the new one instead.
    """
    total = hashlib.sha256()
    whole = {path: text.encode() for path, text in pages.items()} | dict(assets)
    for path in sorted(whole):
        total.update(f"{path}\0{len(whole[path])}\0".encode())
        total.update(whole[path])
    listed = json.dumps(sorted(kept))
    text = (folder / WORKER).read_text(encoding="utf-8")
    if _GAP not in text:
        raise ValueError(f"{WORKER} has no place for the list of what is kept")
    return text.replace(_GAP, f'var LIST = {listed}, BUILD = "{total.hexdigest()[:16]}";').encode()
