"""Where everything of a rig is drawn: fixed by the rig alone, so that nothing moves from one picture to the next."""

from __future__ import annotations

from dataclasses import dataclass

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
    equipment beside the circuit, for paper, instead of below it."""

    outer: float = 96.0
    beside: bool = False

    @property
    def left(self) -> float:
        """The x of the left column."""
        return self.outer + 26

    @property
    def right(self) -> float:
        """The x of the right column."""
        return self.left + BETWEEN

    @property
    def middle(self) -> float:
        """Between the columns."""
        return self.left + BETWEEN / 2

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
