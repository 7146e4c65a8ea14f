"""What a page of a procedure loads only when it is wanted: the way step by step, its bar and buttons, and the circuit.

Most who open a page read it. What they don't need would be half of its weight, so it stands in a script beside it, whose
pieces of markup come from the same templates. Who has no scripts has the circuit on a page of its own.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping

from jinja2 import Environment

from stepwell.publish.sheet import (
    AnyOrderBlock,
    HoldBar,
    Items,
    LanesBlock,
    QuestionBlock,
    RepeatBlock,
    Sheet,
    StageBlock,
    StepLine,
)
from stepwell.publish.timing import Timing
from stepwell.render.site.paths import slug
from stepwell.render.site.route import END, Route

Stop = StepLine | HoldBar | QuestionBlock | RepeatBlock
_MACROS: Mapping[type[Stop], str] = {StepLine: "circuit", HoldBar: "agreed", QuestionBlock: "asked", RepeatBlock: "again"}


def later_href(sheet: Sheet) -> str:
    """The script beside the page of a procedure, from the top of the site."""
    return f"{sheet.language}/{slug(sheet.id)}/later.js"


def circuit_href(sheet: Sheet) -> str:
    """The page with the circuit after each step, from the top of the site."""
    return f"{sheet.language}/{slug(sheet.id)}/circuit.html"


def later_script(
    sheet: Sheet, route: Route, timing: Mapping[str, Timing], env: Environment, words: Mapping[str, object]
) -> bytes:
    """The script: by stop, where it leads, how long it takes and what is put in. ``words`` is what templates are given."""
    module = env.get_template("later.html").make_module(dict(words))

    def piece(macro: str, *of: object) -> str:
        return str(getattr(module, macro)(*of))

    found = tuple(_stops(sheet.items))
    pieces = {item.id: piece(_MACROS[type(item)], item) for item in found}
    asking = {item.id: str(getattr(item, "at_most", "")) for item in found if isinstance(item, QuestionBlock | RepeatBlock)}
    stops: dict[str, dict[str, str]] = {}
    for name in (*route.onward, END):
        times = timing.get(name, Timing(most=0, wait=0))
        told = {"next": route.onward.get(name), "most": times.most, "wait": times.wait, "rounds": asking.get(name)}
        stops[name] = {key: str(value) for key, value in told.items() if value} | ({"asks": ""} if name in asking else {})
    whole = {
        "bar": piece("bar"),
        "start": piece("start"),
        "stops": stops,
        "pieces": {name: text for name, text in pieces.items() if text},
    }
    return f"window.stepwellLater = {json.dumps(whole)};\n".encode()


def _stops(items: Items) -> Iterator[Stop]:
    """What there may be something to put into, wherever it stands."""
    for item in items:
        match item:
            case StepLine() | HoldBar():
                yield item
            case StageBlock(items=inner) | AnyOrderBlock(items=inner):
                yield from _stops(inner)
            case RepeatBlock(items=inner):
                yield item
                yield from _stops(inner)
            case LanesBlock(lanes=lanes):
                for lane in lanes:
                    yield from _stops(lane.items)
            case QuestionBlock(outcomes=outcomes):
                yield item
                for outcome in outcomes:
                    yield from _stops(outcome.items)
