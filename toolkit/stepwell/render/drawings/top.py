"""The upper part of the drawing: bags with their connectors, and the lines that rise to them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stepwell.circuit.entry import Family
from stepwell.render.drawings.plan import Arrow, Block, End, Run, Vessel
from stepwell.render.drawings.rows import NEXT, OFFSET
from stepwell.render.drawings.skeleton import Skeleton
from stepwell.render.drawings.type_size import LEADING

if TYPE_CHECKING:
    from stepwell.render.drawings.columns import Drawn
    from stepwell.render.drawings.rows import Stack

HOOK = 16.0
UNSAID = 10.0
"""Room on a riser for tubing that nothing is said of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Riser:
    """The rest of a branch from where it turns up: ``start`` is where it leaves the row, ``host`` what it comes from."""

    side: int
    start: tuple[float, float]
    names: tuple[str, ...]
    host: str


class Top:
    """Collects risers while the columns are drawn, then draws them with the bags."""

    def __init__(self, drawn: Drawn, made: Skeleton, stacks: tuple[Stack, ...], base: float) -> None:
        """``base`` is where the picture, or this figure of it, begins."""
        self.drawn = drawn
        self.frame = drawn.frame
        self.made = made
        self.base = base
        self.risers: list[Riser] = []
        heights = [0.0]
        for stack in stacks:
            for slot in (*stack.sides[0], *stack.sides[1]):
                if slot.rises and slot.branch is not None:
                    known = [name for name in slot.branch if name in drawn.parts]
                    first = next((n for n, name in enumerate(known) if drawn.kind(name) in ("line", "end", "bag")), 0)
                    heights.append(sum(self._row(name) for name in known[first:] if drawn.kind(name) != "bag"))
        rise = max(heights)
        self.bag = max([self.frame.bag, *(self._bag_height(name) for name in made.ports)])
        ports = HOOK + self.bag + self.frame.port if made.ports else 0.0
        self.height = ports + (self.frame.mouth if rise else 0.0) + rise

    def draw(self) -> None:
        """Place risers from the outside inwards, then the bags above them."""
        port_y = self.base + (HOOK + self.bag + self.frame.port if self.made.ports else 0.0)
        places: list[float] = []
        bags: dict[str, list[float]] = {bag: [] for bag in self.made.ports}
        for side in (0, 1):
            mine = [riser for riser in self.risers if riser.side == side]
            for number, riser in enumerate(mine):
                offset = OFFSET + NEXT * (len(mine) - 1 - number)
                x = self.frame.right - offset if side else self.frame.left + offset
                x = x if abs(x - riser.start[0]) > 20 or not riser.names else riser.start[0] + (24 if not side else -24)
                self._riser(riser, x, port_y + self.frame.mouth)
                places.append(x)
                for name in riser.names:
                    if name in bags:
                        bags[name].append(x)
                        self.drawn.runs.append(
                            Run(
                                part=name, points=((x, port_y + self.frame.mouth), (x, port_y - self.frame.port)), wide=False
                            )
                        )
        self._bags(bags, places, port_y)

    def _riser(self, riser: Riser, x: float, top: float) -> None:
        names = [name for name in riser.names if self.drawn.kind(name) != "bag"]
        rows = [self._row(name) for name in names]
        spots = {name: top + sum(rows[at + 1 :]) + rows[at] / 2 for at, name in enumerate(names)}
        if names and self.drawn.family(names[-1]) is Family.END:
            spots[names[-1]] = top + 8
        points = [riser.start, (x, riser.start[1])]
        here = riser.host
        for at, name in enumerate(names):
            y = spots[name]
            if self.drawn.family(name) is Family.SPACE:
                if at:
                    points = [points[-1]]
                here = name
                after = names[at + 1] if at + 1 < len(names) else ""
                high = spots.get(after, top) if self.drawn.family(after) is not Family.SPACE else y - rows[at] / 2
                self.drawn.runs.append(Run(part=name, points=(*points, (x, high)), wide=False))
                before = riser.host if at == 0 else names[at - 1]
                middle = (y + riser.start[1]) / 2 if at == 0 else y
                self.drawn.arrows.append(Arrow(part=name, at=(x, middle), along=(0.0, -1.0), of=before, to=""))
                points = [(x, high)]
            else:
                if at == 0 or self.drawn.family(names[at - 1]) is not Family.SPACE:
                    self.drawn.runs.append(Run(part=here, points=(*points, (x, y)), wide=False))
                if self.drawn.family(name) is Family.END:
                    self.drawn.ends.append(End(part=name, at=(x, y), out=(0.0, -1.0), space=here))
                else:
                    self.drawn.gate(name, (x, y), (0.0, -1.0))
                points = [(x, y)]
            self._words(name, x, y, riser.side)

    def _bag_height(self, name: str) -> float:
        """What the words in a bag need above its fluid, where they are more than its label."""
        if name not in self.drawn.said:
            return 0.0
        width = 156.0 if len(self.made.ports[name]) < 2 else self.frame.between - 2 * OFFSET + 36
        return LEADING * len(self.drawn.lines(name, width)) + 39

    def _row(self, name: str) -> float:
        return UNSAID if self.drawn.unsaid(name) else self.frame.riser

    def _words(self, name: str, x: float, y: float, side: int) -> None:
        if self.drawn.unsaid(name):
            return
        width = self.frame.circuit - x - 22 if side else x - 22
        lines = self.drawn.lines(name, width)
        away = 16 if self.drawn.family(name) is Family.SPACE else 20
        top = y - LEADING * (len(lines) + self.drawn.state_rows(name, width)) / 2 + (4 if not self.frame.bare else 1)
        self.drawn.blocks.append(
            Block(
                part=name,
                x=x + away if side else x - away,
                y=top,
                side="start" if side else "end",
                width=width,
                lines=lines,
                tags=self.drawn.tags(name),
            )
        )

    def _bags(self, bags: dict[str, list[float]], places: list[float], port_y: float) -> None:
        free = sorted(x for x in places if all(x not in taken for taken in bags.values()))
        free += [self.frame.middle + 70 * n for n in (0, -1, 1, -2, 2, -3, 3)]
        for bag, taken in bags.items():
            for port in self.made.ports[bag]:
                x = free.pop(0) if free else self.frame.middle
                taken.append(x)
                y = port_y - 8
                self.drawn.runs.append(Run(part=bag, points=((x, port_y - self.frame.port - 2), (x, y)), wide=False))
                self.drawn.ends.append(End(part=port, at=(x, y), out=(0.0, 1.0), space=bag))
                self._words(port, x, y - 12, 1 if x >= self.frame.middle else 0)
        number = len(bags)
        for at, (bag, taken) in enumerate(bags.items()):
            middle = sum(taken) / len(taken) if taken else self.frame.circuit * (at + 1) / (number + 1)
            half = min(max(86.0, *(abs(x - middle) + 26 for x in taken or [middle])), self.frame.circuit / 2 / number - 6)
            body = Vessel(
                part=bag, kind="bag", x=middle - half, y=port_y - self.frame.port - self.bag, width=2 * half, height=self.bag
            )
            self.drawn.vessels.append(body)
            lines = self.drawn.lines(bag, 2 * half - 16)
            self.drawn.blocks.append(
                Block(part=bag, x=middle, y=body.y + 6, side="middle", width=2 * half - 16, lines=lines, tags=())
            )
