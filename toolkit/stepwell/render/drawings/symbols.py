"""The shapes. One principle for everything that opens and shuts: shut is solid and touches, open is hollow and apart."""

from __future__ import annotations

from stepwell.circuit.hydraulics import ABOVE, AT, BELOW
from stepwell.render.drawings.paint import INK, PAPER, bits_of, fill_of
from stepwell.render.drawings.paper import Paper, Point, number
from stepwell.render.drawings.plan import End, Gate, Vessel

OPEN_WORDS = frozenset({"open", "off"})


def turned(at: Point, out: Point, along: float, across: float) -> Point:
    """A point ``along`` the direction ``out`` from ``at``, and ``across`` it."""
    return at[0] + out[0] * along - out[1] * across, at[1] + out[1] * along + out[0] * across


def gate(paper: Paper, one: Gate, words: tuple[str, ...], *, changed: bool) -> None:
    """A gate in its state; a kind that is not known is a hollow square with its word beside it."""
    is_open = bool(OPEN_WORDS & set(words))
    weight = 3.6 if changed else 1.8
    paint: dict[str, str | float] = {
        "fill": PAPER if is_open else INK,
        "stroke": INK,
        "stroke_width": weight,
        "stroke_linejoin": "round",
    }

    def shape(points: tuple[Point, ...], **values: str | float) -> None:
        corners = [turned(one.at, one.out, along, across) for along, across in points]
        paper.shape(corners, **{**paint, **values})

    if one.kind == "clamp":
        near, far = (10.5, 20.0) if is_open else (0.0, 15.0)
        for side in (-1, 1):
            shape(((0, side * near), (-8, side * far), (8, side * far)))
    elif one.kind == "cap":
        shift = 15.0 if is_open else 0.0
        shape(((shift, -11), (shift + 8, -11), (shift + 8, 11), (shift, 11)))
    elif one.kind == "vent":
        for along in (-3.0, 1.0):
            shape(((along, -11), (along, 11)), fill="none", stroke_width=1.6)
        shift = 14.0 if is_open else 4.0
        shape(((shift, -13), (shift + 8, -9), (shift + 8, 9), (shift, 13)))
    elif one.kind == "check-valve":
        shape(((-8, -11), (8, 0), (-8, 11)), fill=PAPER)
        shape(((9, -11), (9, 11)), stroke_width=3.0)
    else:
        shape(((-11, -11), (11, -11), (11, 11), (-11, 11)), fill=PAPER)


def end(paper: Paper, one: End, mate: str, *, changed: bool) -> None:
    """A connector: covered (solid across its tip), bare (a hollow funnel), or joined (a sleeve)."""
    weight = 3.6 if changed else 1.8
    if mate == "bare":
        points = [turned(one.at, one.out, along, across) for along, across in ((-6, -6), (9, -16), (9, 16), (-6, 6))]
        paper.line(points, fill="none", stroke=INK, stroke_width=weight + 0.8, stroke_linejoin="round")
        return
    low, high, wide = (-3.0, 6.0, 13.0) if mate == "covered" else (-9.0, 5.0, 12.0)
    points = [
        turned(one.at, one.out, along, across) for along, across in ((low, -wide), (high, -wide), (high, wide), (low, wide))
    ]
    paper.shape(points, fill=INK if mate == "covered" else PAPER, stroke=INK, stroke_width=weight)


def vessel(paper: Paper, one: Vessel, contents: int | None, words: tuple[str, ...], *, changed: bool) -> None:
    """The body of a part."""
    broken = {"stroke_dasharray": "7 4"} if len(bits_of(contents or 0)) > 1 else {}
    line: dict[str, str | float] = {"stroke": INK, "stroke_width": 4.6 if changed else 2.3, **broken}
    match one.kind:
        case "box":
            paper.rect(one.x, one.y, one.width, one.height, fill=PAPER, stroke=INK, stroke_width=3.6 if changed else 1.1)
        case "tap":
            _tap(paper, one, contents, words, line)
        case "pump-head":
            paper.circle(one.centre, one.width / 2, fill=fill_of(contents), **line)
        case "bag":
            _bag(paper, one, contents, words, line)
        case "oxygenator":
            paper.rect(one.x, one.y, one.width, one.height, fill=fill_of(contents), rx=3, **line)
            # The fibres: gas on one side, blood on the other.
            for step in range(1, 4):
                x = one.x + one.width * step / 4
                paper.line(
                    ((x, one.y + 10), (x, one.y + one.height - 10)), stroke=INK, stroke_width=1.4, stroke_dasharray="2 4"
                )
        case "vein" | "artery":
            paper.rect(one.x, one.y, one.width, one.height, fill=fill_of(contents), rx=one.height / 2, **line)
        case _:
            paper.rect(one.x, one.y, one.width, one.height, fill=fill_of(contents), rx=2, **line)


def _tap(paper: Paper, one: Vessel, contents: int | None, words: tuple[str, ...], line: dict[str, str | float]) -> None:
    """A round chamber with a solid bar across each way that is shut."""
    paper.circle(one.centre, one.width / 2, fill=fill_of(contents), **line)
    position = words[0] if words else "off"
    shut = {"off": (-1, 1), "line": (1,), "air": (-1,), "all": ()}.get(position, ())
    for side in shut:
        points = [turned(one.centre, one.out, side * 12.0, across) for across in (-14.0, 14.0)]
        paper.line(points, stroke=INK, stroke_width=6, fill="none")


def _bag(paper: Paper, one: Vessel, contents: int | None, words: tuple[str, ...], line: dict[str, str | float]) -> None:
    """Fluid below, air above. A hung bag hangs from a closed ring; a lying one has none."""
    paper.rect(one.x, one.y, one.width, one.height, fill=PAPER, rx=12, **line)
    paper.rect(one.x + 3, one.y + one.height - 27, one.width - 6, 24, fill=fill_of(contents), rx=9)
    middle = one.centre[0]
    if "hung" in words:
        paper.circle((middle, one.y - 8), 6, fill="none", stroke=INK, stroke_width=line["stroke_width"])
    else:
        paper.line(
            ((middle - 12, one.y - 5), (middle + 12, one.y - 5)), stroke=INK, stroke_width=1.4, stroke_dasharray="3 3"
        )


def arrow(paper: Paper, at: Point, along: Point, *, sure: bool) -> None:
    """Where liquid moves: solid where it surely does, hollow where it may."""
    points = [turned(at, along, a, b) for a, b in ((9, 0), (-6, -9), (-2, 0), (-6, 9))]
    paint: dict[str, str | float] = {"fill": INK, "stroke": PAPER} if sure else {"fill": PAPER, "stroke": INK}
    paper.shape(points, stroke_width=1.6, stroke_linejoin="round", **paint)


def pressure(paper: Paper, at: Point, mask: int) -> None:
    """Above the air's pressure: white plus on solid; below: minus on white; not known: a question mark; at it: nothing."""
    if mask == AT:
        return
    known = mask in (ABOVE, BELOW)
    paper.circle(
        at,
        8.6,
        fill=INK if mask == ABOVE else PAPER,
        stroke=PAPER if mask == ABOVE else INK,
        stroke_width=1.6 if known else 1.1,
    )
    x, y = at
    paint: dict[str, str | float] = {"fill": "none", "stroke": PAPER if mask == ABOVE else INK, "stroke_width": 2.4}
    if known:
        paper.line(((x - 4.8, y), (x + 4.8, y)), **paint)
    if mask == ABOVE:
        paper.line(((x, y - 4.8), (x, y + 4.8)), **paint)
    if not known:
        paper.text((x, y + 4.6), "?", text_anchor="middle", font_size=13, font_weight=700, fill=INK)


def letter(paper: Paper, at: Point, words: str, *, changed: bool) -> None:
    """The letter of a piece of equipment in a ring."""
    x, y = at
    paper.rect(x - 9.5, y - 9.5, 19, 19, rx=4, fill=INK if changed else PAPER, stroke=INK, stroke_width=1.3)
    fill = PAPER if changed else INK
    paper.text((x, y + 4.8), words, text_anchor="middle", font_size=14, font_weight=700, fill=fill)


def ring(paper: Paper, x: float, y: float, width: float, height: float) -> None:
    """A frame round what is to be looked at."""
    paper.add("rect", x=x, y=y, width=number(width), height=number(height), fill="none", stroke=INK, stroke_width=3, rx=6)
