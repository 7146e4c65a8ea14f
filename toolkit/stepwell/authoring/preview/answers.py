"""What each address below the secret part answers, apart from how it is sent."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from stepwell.authoring.preview.desk import Desk
from stepwell.authoring.preview.drawn import drawing_of_finding, drawing_of_step, key
from stepwell.authoring.preview.view import listing, title_of, view
from stepwell.authoring.preview.words import words
from stepwell.resources import data_dir

_ASSETS = {
    "": ("preview/page.html", "text/html; charset=utf-8"),
    "page.css": ("preview/page.css", "text/css; charset=utf-8"),
    "icon.svg": ("preview/icon.svg", "image/svg+xml"),
    "text.woff2": ("site/assets/text.woff2", "font/woff2"),
}
_SCRIPTS = frozenset(f"{name}.js" for name in ("page", "parts", "steps", "beside", "form", "fields", "rows", "saves"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """A body with its type. ``status`` is that of HTTP."""

    body: bytes
    sort: str = "application/json; charset=utf-8"
    status: int = 200


def as_json(value: object, status: int = 200) -> Answer:
    """A value as JSON."""
    return Answer(body=json.dumps(value, ensure_ascii=False, allow_nan=False).encode(), status=status)


def refused(status: int, why: str, **more: object) -> Answer:
    """A sentence on why not."""
    return as_json({"why": why, **more}, status)


NOT_HERE = refused(404, "There is nothing here.")


def answer(desk: Desk, path: str) -> Answer:
    """The answer to a request for ``path`` (below the secret part, without a question mark and what follows)."""
    if path in _ASSETS or path in _SCRIPTS:
        return _asset(path)
    head, _, rest = path.partition("/")
    found = _ANSWERS.get(head)
    return NOT_HERE if found is None else found(desk, rest)


@cache
def _asset(path: str) -> Answer:
    name, sort = _ASSETS.get(path, (f"preview/{path}", "text/javascript; charset=utf-8"))
    return Answer(body=(data_dir("site_templates") / name).read_bytes(), sort=sort)


NO_LONGER = Answer(body=b"", status=204)
"""Nothing to show, and nothing wrong."""


def _listing(desk: Desk, rest: str) -> Answer:
    return NOT_HERE if rest else as_json(listing(desk))


def _view(desk: Desk, rest: str) -> Answer:
    desk.want(rest)
    found = view(desk, rest)
    return refused(404, "This file is not there any more.") if found is None else as_json(found)


def _words(desk: Desk, rest: str) -> Answer:
    found = words(desk, rest)
    return NOT_HERE if found is None else as_json(found)


def _drawn(desk: Desk, rest: str) -> Answer:
    if rest == "key":
        return _svg(key())
    words = rest.split("/")
    judged = desk.judged.get(words[0])
    if judged is None or len(words) != 4 or not words[2].isdigit() or int(words[2]) >= len(judged.reports):
        return NOT_HERE
    if words[1] != str(judged.number):
        # Asked for by a page that shows an earlier check and is about to show this one: what would be drawn is of another.
        return NO_LONGER
    name, at, what = words[0], int(words[2]), words[3]
    if what.startswith("finding-") and what.removeprefix("finding-").isdigit():
        return _svg(drawing_of_finding(judged, at, int(what.removeprefix("finding-"))))
    step = "" if what == "start" else what
    return _svg(drawing_of_step(judged, at, step, title_of(desk, name, step)))


def _svg(text: str | None) -> Answer:
    return NOT_HERE if text is None else Answer(body=text.encode(), sort="image/svg+xml")


_ANSWERS: dict[str, Callable[[Desk, str], Answer]] = {"unit": _listing, "view": _view, "words": _words, "drawn": _drawn}
