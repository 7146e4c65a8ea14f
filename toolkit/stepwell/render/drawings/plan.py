"""Where everything of a rig is drawn: fixed by the rig alone, so that nothing moves from one picture to the next."""

from __future__ import annotations

from dataclasses import dataclass, replace

from stepwell.render.drawings.hyphens import Hyphens
from stepwell.render.drawings.paper import Point

BETWEEN = 256.0
"""From one column to the other."""
BESIDE = 250.0
"""Room for equipment beside the circuit."""
HEAD = 58.0
"""Room above the circuit for what is said about the whole of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The measures of one form of drawing: ``outer`` is the room for the labels beside the columns; ``beside`` puts the
    equipment beside the circuit, for paper, instead of below it; ``bare`` leaves it out. ``head`` is the room above the
    circuit, ``row`` the least height of a row, ``body`` that of a row with a body, ``air`` what is left free above and
    below a label, ``riser`` from one thing on a riser to the next, ``bag`` the height of a bag, ``joint`` the room for
    tubing between two joined ends, ``branch`` what the symbols of a branch need above its words
    (``below``: under them),
    ``port`` the room for a bag's connectors and ``mouth`` below them, ``lid`` and ``sump`` that above and below
    the columns; ``between`` is from one column to the other, ``both`` says that it is wide
    enough for branches of both columns in one row; ``cell`` is the width of a part in a row of its own, ``away`` from the
    middle of a gate to its label; ``thin`` is the least height of a row with nothing but tubing that nothing is said of.
    ``aside`` puts the words of a branch beside its symbols, and those of the pump head beside it, instead of below."""

    outer: float = 96.0
    beside: bool = False
    bare: bool = False
    head: float = HEAD
    row: float = 40.0
    body: float = 92.0
    air: float = 12.0
    riser: float = 46.0
    bag: float = 84.0
    joint: float = 40.0
    branch: float = 40.0
    below: float = 8.0
    port: float = 44.0
    mouth: float = 30.0
    between: float = BETWEEN
    lid: float = 34.0
    sump: float = 24.0
    both: bool = False
    cell: float = 122.0
    away: float = 24.0
    thin: float = 40.0
    aside: bool = False

    @property
    def left(self) -> float:
        """The x of the left column."""
        return self.outer + (self.away + 3 if self.bare else 26)

    @property
    def right(self) -> float:
        """The x of the right column."""
        return self.left + self.between

    @property
    def middle(self) -> float:
        """Between the columns."""
        return self.left + self.between / 2

    @property
    def circuit(self) -> float:
        """The width of the circuit."""
        return self.right + self.left

    @property
    def width(self) -> float:
        """The width of the whole."""
        return self.circuit + (BESIDE if self.beside else 0)


SCREEN = Frame()
SHEET = Frame(outer=150.0, beside=True)
"""For paper: wide labels make a lower drawing, which can be set larger on a page."""
CARD = Frame(
    outer=180.0, bare=True, head=3.0, row=22.0, thin=22.0, body=58.0, air=7.0, riser=34.0, bag=58.0, joint=38.0, branch=36.0,
    below=3.0, port=34.0, mouth=20.0, lid=16.0, sump=16.0, cell=169.0, away=28.0,
)  # fmt: skip
"""For the face of a card: the circuit alone, as low as its words allow."""


def _low(width: float, outer: float) -> Frame:
    between = width - 2 * (outer + CARD.away + 3)
    return replace(CARD, outer=outer, between=between, sump=30.0, thin=8.0, aside=True)


CARDS = tuple(
    tuple(
        _low(width, outer) for outer in (92.0, 100.0, 108.0, 116.0, 124.0, 132.0, 146.0, 168.0) if width - 2 * outer > 300.0
    )
    for width in (680.0, 640.0, 600.0, 564.0, 520.0)
)
"""The same lower still, with the words of branches beside their symbols: in each group as wide as a size of type asks on
a page of A4 (the first for the least at 60 cm, the last but one for the preferred, the last for the least at 75 cm), with
more room for the labels outside or for the branches inside."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A length of tubing (or the neck of a vessel): drawn with the contents of ``part``."""

    part: str
    points: tuple[Point, ...]
    wide: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """A clamp, cap, vent or valve across a run; ``out`` is the direction away from the main path."""

    part: str
    kind: str
    at: Point
    out: Point


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """A connector; its tip looks ``out``. ``apart``: it stands too far from the others for tubing to be drawn to them, so
    that what it is joined to is said in words."""

    part: str
    at: Point
    out: Point
    space: str
    apart: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Vessel:
    """A part with a body of its own: bag, pump head, oxygenator, blood vessel, tap."""

    part: str
    kind: str
    x: float
    y: float
    width: float
    height: float
    out: Point = (0.0, -1.0)

    @property
    def centre(self) -> Point:
        """The middle of the body."""
        return self.x + self.width / 2, self.y + self.height / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A label with the state below it. ``y`` is the top; ``side`` is where the text's edge is: ``start``, ``middle`` or
    ``end``, as in SVG. ``lines`` are the label as wrapped; ``tags`` letters of the equipment that belongs to the part.
    ``inline``: the state stands behind the label; ``boxed``: equipment, whose own letter is ``letter``."""

    part: str
    x: float
    y: float
    side: str
    width: float
    lines: tuple[str, ...]
    tags: tuple[str, ...] = ()
    letter: str = ""
    boxed: bool = False
    inline: bool = False
    widths: tuple[float, ...] = ()
    """Of what is said of a part, how wide each line is when it is printed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrow:
    """A place for an arrow on a part's run; ``along`` is the direction from ``of`` to ``to`` as the rig lists them."""

    part: str
    at: Point
    along: Point
    of: str
    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Plain words on the drawing."""

    at: Point
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """All places of one rig. ``key_y`` is where the key begins, ``boxes_y`` where the equipment does."""

    frame: Frame
    height: float
    runs: tuple[Run, ...]
    gates: tuple[Gate, ...]
    ends: tuple[End, ...]
    vessels: tuple[Vessel, ...]
    blocks: tuple[Block, ...]
    arrows: tuple[Arrow, ...]
    notes: tuple[Note, ...]
    key_y: float
    hyphens: Hyphens | None = None
