"""The library as a picture: cards one below the other, ways between them as bows at either side.

Cards that start from another's end hang on thick bows at the left, other ways are thin bows at the right: broken where
something expected is not so, dotted for an answer. An emergency is solid, so that the picture reads the same in grey.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from stepwell.publish.library_graph import Lead, LibraryGraph, Node, Way
from stepwell.render.drawings.paint import INK, PAPER, SOFT
from stepwell.render.drawings.paper import FONT, Paper, number, shown
from stepwell.render.drawings.type_size import LEADING, SIZE, wrap

WIDTH = 420
LEFT, RIGHT = 46.0, 334.0
"""Where the boxes begin and end; the bows have the rest."""
_GAP, _PAD, _INNER, _LANE = 16.0, 10.0, 22.0, 15.0
"""Between boxes, inside them, and from a box to the first lane of bows and from lane to lane, where there is room."""
_DASHES = {Way.IF_NOT: "7 4", Way.ANSWER: "1.5 5"}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Box:
    node: Node
    lines: tuple[str, ...]
    note: str
    top: float

    @property
    def height(self) -> float:
        return 2 * _PAD + (len(self.lines) + bool(self.note)) * LEADING

    @property
    def middle(self) -> float:
        return self.top + self.height / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bow:
    lead: Lead
    start: float
    end: float
    lane: int


def graph_picture(graph: LibraryGraph, words: Mapping[str, str]) -> tuple[str, int, int]:
    """The picture as SVG with its width and height. ``words``: ``title``, the headings ``routine``, ``check`` and
    ``emergency``, and ``alone`` for an emergency that no card leads to."""
    boxes, headings, height = _placed(graph, words)
    paper = Paper()
    paper.open(
        "svg",
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {WIDTH} {number(height)}",
        font_family=FONT,
        font_size=SIZE,
        fill=INK,
        role="img",
        aria_labelledby="t",
    )
    paper.open("title", id="t")
    paper.words(words["title"])
    paper.close("title")
    paper.rect(0, 0, WIDTH, height, fill=PAPER)
    for text, y in headings:
        paper.text((LEFT, y), text, font_size=SIZE, fill=SOFT)
    _bows(paper, graph, boxes, left=True)
    _bows(paper, graph, boxes, left=False)
    for box in boxes.values():
        _box(paper, box)
    paper.close("svg")
    return "".join(paper.lines) + "\n", WIDTH, round(height)


def _placed(graph: LibraryGraph, words: Mapping[str, str]) -> tuple[dict[str, _Box], list[tuple[str, float]], float]:
    alone = {node.id for node in graph.reached_by_none}
    boxes: dict[str, _Box] = {}
    headings: list[tuple[str, float]] = []
    y, kind = 8.0, ""
    for node in graph.nodes:
        if node.kind != kind:
            kind = node.kind
            y += 22 if boxes else 12
            headings.append((words[kind], y))
            y += 10
        note = words["alone"] if node.id in alone else ""
        box = _Box(node=node, lines=wrap(shown(node.title), RIGHT - LEFT - 24), note=note, top=y)
        boxes[node.id] = box
        y += box.height + _GAP
    return boxes, headings, y + 4


def _box(paper: Paper, box: _Box) -> None:
    urgent = box.node.kind == "emergency"
    dashes: dict[str, str | float] = {"stroke_dasharray": "6 4"} if box.node.kind == "check" else {}
    paper.rect(LEFT, box.top, RIGHT - LEFT, box.height, fill=INK if urgent else PAPER, stroke=INK, stroke_width=2, **dashes)
    y = box.top + _PAD + SIZE * 0.88
    for line in box.lines:
        paper.text((LEFT + 12, y), line, font_weight="bold", fill=PAPER if urgent else INK)
        y += LEADING
    if box.note:
        paper.text((LEFT + 12, y), box.note, fill=PAPER if urgent else SOFT, font_size=15)


def _bows(paper: Paper, graph: LibraryGraph, boxes: Mapping[str, _Box], *, left: bool) -> None:
    leads = [
        lead for lead in graph.leads if (lead.way is Way.STARTS) is left and lead.source in boxes and lead.target in boxes
    ]
    # Several lines of a card may lead to the same card: one bow, with all their numbers at its end in the table.
    bows = _lanes(_ported(list(dict.fromkeys(_plain(lead) for lead in leads)), boxes))
    edge, out = (LEFT, -1) if left else (RIGHT, 1)
    room = (LEFT if left else WIDTH - RIGHT) - _INNER - 4
    step = min(_LANE, room / max(1, max((bow.lane for bow in bows), default=0)))
    for bow in bows:
        x = edge + out * (_INNER + bow.lane * step)
        bend = min(8.0, abs(bow.end - bow.start) / 2)
        down = bend if bow.end >= bow.start else -bend
        path = (
            f"M{number(edge)} {number(bow.start)}H{number(x - out * bend)}"
            f"Q{number(x)} {number(bow.start)} {number(x)} {number(bow.start + down)}V{number(bow.end - down)}"
            f"Q{number(x)} {number(bow.end)} {number(x - out * bend)} {number(bow.end)}H{number(edge + out * 9)}"
        )
        style: dict[str, str | float] = {"fill": "none", "stroke": INK, "stroke_width": 3 if left else 2}
        dashes = _DASHES.get(bow.lead.way)
        if dashes:
            style |= {"stroke_dasharray": dashes, "stroke_linecap": "round" if bow.lead.way is Way.ANSWER else "butt"}
        paper.add("path", d=path, **style)
        tip = edge + out * 1
        paper.shape(((tip, bow.end), (tip + out * 11, bow.end - 6), (tip + out * 11, bow.end + 6)), fill=INK)


def _plain(lead: Lead) -> Lead:
    return Lead(source=lead.source, target=lead.target, way=lead.way)


def _ported(leads: list[Lead], boxes: Mapping[str, _Box]) -> list[_Bow]:
    """Each way with the height at which it leaves and arrives, spread over the side of the box."""
    ends: dict[str, list[tuple[float, int, bool]]] = {}
    for n, lead in enumerate(leads):
        ends.setdefault(lead.source, []).append((boxes[lead.target].middle, n, True))
        ends.setdefault(lead.target, []).append((boxes[lead.source].middle, n, False))
    at: dict[tuple[int, bool], float] = {}
    for name, list_ in ends.items():
        box = boxes[name]
        # Upward ones above, the nearest first; downward ones below, the nearest last: then inner lanes meet no outer one.
        for place, (_, n, leaving) in enumerate(sorted(list_, key=lambda end: (end[0] > box.middle, -end[0], end[1]))):
            at[n, leaving] = box.top + box.height * (place + 1) / (len(list_) + 1)
    return [_Bow(lead=lead, start=at[n, True], end=at[n, False], lane=0) for n, lead in enumerate(leads)]


def _lanes(bows: Iterable[_Bow]) -> list[_Bow]:
    """Short bows inside, and none over another in the same lane."""
    taken: list[list[tuple[float, float]]] = []
    out: list[_Bow] = []
    for bow in sorted(bows, key=lambda bow: (abs(bow.end - bow.start), bow.start)):
        low, high = min(bow.start, bow.end) - 4, max(bow.start, bow.end) + 4
        lane = next((n for n, used in enumerate(taken) if all(high < a or b < low for a, b in used)), len(taken))
        if lane == len(taken):
            taken.append([])
        taken[lane].append((low, high))
        out.append(_Bow(lead=bow.lead, start=bow.start, end=bow.end, lane=lane))
    return out
