"""The two columns of the drawing, with the branches that lead inwards from them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from stepwell.circuit.entry import Family
from stepwell.model.language import ENGLISH, Language
from stepwell.model.rig import Part
from stepwell.render.drawings.hyphens import Hyphens
from stepwell.render.drawings.labels import placed
from stepwell.render.drawings.pairing import Slot
from stepwell.render.drawings.plan import Arrow, Block, End, Frame, Gate, Note, Run, Vessel
from stepwell.render.drawings.rows import BODIES, STEP, Stack, first_symbol, flat_part
from stepwell.render.drawings.skeleton import VESSELS, family, one_name
from stepwell.render.drawings.state_words import longest_state
from stepwell.render.drawings.top import Riser, Top
from stepwell.render.drawings.type_size import LEADING, PAIRS, two_weights, unhyphened, width_of, wrap

TAG_ROW = 24.0


@dataclass(slots=True)
class Drawn:
    """What has been placed so far, and what is needed of the rig while placing."""

    parts: dict[str, Part]
    letters: dict[str, str]
    frame: Frame
    far: bool = False
    """Some connectors stand apart, so that the others may have to say in words what they are joined to."""
    said: Mapping[str, str] = field(default_factory=dict)
    """What stands beside a part in the place of its label and its state."""
    hyphens: Hyphens | None = None
    language: Language = ENGLISH
    states: dict[str, str] = field(default_factory=dict)
    runs: list[Run] = field(default_factory=list)
    gates: list[Gate] = field(default_factory=list)
    ends: list[End] = field(default_factory=list)
    vessels: list[Vessel] = field(default_factory=list)
    blocks: list[Block] = field(default_factory=list)
    arrows: list[Arrow] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)

    def label(self, name: str) -> str:
        """What people call a part, or what is said of it in this state."""
        if name in self.said:
            return self.said[name]
        part = self.parts.get(name)
        return name if part is None else part.label or part.id

    def kind(self, name: str) -> str:
        """The kind of a part; empty for the open air."""
        part = self.parts.get(name)
        return "" if part is None else part.kind

    def family(self, name: str) -> Family | None:
        """The family of a part; None for the open air."""
        part = self.parts.get(name)
        return None if part is None else family(part)

    def lines(self, name: str, width: float) -> tuple[str, ...]:
        """The label, or what is said of the part, wrapped."""
        return wrap(self.label(name), width, plain=self.plain(name), hyphens=self.hyphens, printed=self.frame.bare)

    def plain(self, name: str) -> int:
        """How many characters of what is said of a part are not bold: its label and the colon."""
        part = self.parts.get(name)
        if part is None or name not in self.said:
            return 0
        return len(one_name(part)) + 1

    def widths(self, block: Block) -> tuple[float, ...]:
        """How wide the lines of what is said of a part are at most when they are printed."""
        if block.part not in self.said:
            return ()
        lines = two_weights(block.lines, unhyphened(self.said[block.part]), self.plain(block.part))
        widths = (width_of(plain, printed=True) + width_of(bold, bold=True, printed=True) for plain, bold in lines)
        return tuple(PAIRS * wide for wide in widths)

    def unsaid(self, name: str) -> bool:
        """Whether nothing at all stands beside a part."""
        return self.said.get(name) == ""

    def longest(self, name: str) -> str:
        """The longest words for the state of a part."""
        if name not in self.states:
            self.states[name] = longest_state(self.parts[name], self.parts, apart=self.far, language=self.language)
        return self.states[name]

    def state_rows(self, name: str, width: float) -> int:
        """Lines to keep for the state of a part below its label."""
        return 0 if name in self.said else len(wrap(self.longest(name), width, hyphens=self.hyphens))

    def tags(self, name: str) -> tuple[str, ...]:
        """The letters of the equipment whose first reference is this part."""
        out: list[str] = []
        for equipment, letter in self.letters.items():
            refs = [one for _, ids in self.parts[equipment].refs for one in ids[:1]]
            if refs and refs[0] == name:
                out.append(letter)
        return tuple(out)

    def gate(self, name: str, at: tuple[float, float], out: tuple[float, float]) -> None:
        """A gate, or whatever else stands across a run."""
        self.gates.append(Gate(part=name, kind=self.kind(name), at=at, out=out))


def room_for(drawn: Drawn, part: Part) -> float:
    """How high the words of a part of a column are, or its body where that is higher."""
    if drawn.unsaid(part.id):
        return drawn.frame.thin if part.kind in ("line", "cannula") else drawn.frame.row
    lines = len(drawn.lines(part.id, drawn.frame.outer))
    rows = lines + drawn.state_rows(part.id, drawn.frame.outer)
    words = LEADING * rows + (TAG_ROW if drawn.tags(part.id) else 0.0) + drawn.frame.air
    return max(words, drawn.frame.body if part.kind in BODIES else 0.0)


@dataclass(slots=True)
class _Item:
    name: str
    top: float
    bottom: float

    @property
    def middle(self) -> float:
        return (self.top + self.bottom) / 2


class Column:
    """One column of one segment. ``side`` 0 is left, 1 right."""

    def __init__(self, drawn: Drawn, stack: Stack, side: int, heights: list[float], bottom: float, top: Top) -> None:
        self.drawn = drawn
        self.top = top
        self.side = side
        self.x = drawn.frame.right if side else drawn.frame.left
        self.inward = -1.0 if side else 1.0
        self.items: list[_Item] = []
        self.branches: list[tuple[Slot, float, float]] = []
        y = bottom
        for row, height in zip(stack.rows, heights, strict=True):
            slot = row.right if side else row.left
            name = slot.part if slot is not None else (self.items[-1].name if self.items else "")
            if self.items and self.items[-1].name == name:
                self.items[-1].top = y - height
            elif name:
                self.items.append(_Item(name, y - height, y))
            if slot is not None and slot.branch is not None:
                self.branches.append((slot, y - height, height))
            y -= height
        self.stack = stack
        said, labels = stack.labels(side, heights)
        places = placed(labels, -stack.room[0], sum(heights) + stack.room[1])
        self.labels = {name: bottom - begins - label.high for name, label, begins in zip(said, labels, places, strict=True)}

    def draw(self, pump: tuple[float, str] | None) -> None:
        """Place everything. ``pump`` is the height of the pump head and its part, for the main path."""
        for at, item in enumerate(self.items):
            self._item(at, item, pump)
        for slot, y, height in self.branches:
            self._branch(slot, y, height)

    def _item(self, at: int, item: _Item, pump: tuple[float, str] | None) -> None:
        name, x = item.name, self.x
        kind = self.drawn.family(name)
        if kind is Family.SPACE:
            self._space(at, item, pump)
        elif kind is Family.END:
            # A connector looks away from the space that it is on: the one before it, if that is not a connector too.
            up = at > 0 and self.drawn.family(self.items[at - 1].name) is not Family.END
            beside = at - 1 if up else min(at + 1, len(self.items) - 1)
            space = self.items[beside].name
            self.drawn.ends.append(End(part=name, at=(x, item.middle), out=(0.0, -1.0 if up else 1.0), space=space))
        else:
            self.drawn.gate(name, (x, item.middle), (0.0, -1.0))
        if at == 0 and pump is not None and kind is not Family.SPACE:
            points = ((self.drawn.frame.middle, pump[0]), (x, pump[0]), (x, item.middle))
            self.drawn.runs.append(Run(part=pump[1] or name, points=points))
        self._words(item)

    def _space(self, at: int, item: _Item, pump: tuple[float, str] | None) -> None:
        x, name = self.x, item.name
        low = self._joint(at - 1, item.bottom)
        high = self._joint(at + 1, item.top)
        bend = ((self.drawn.frame.middle, pump[0]), (x, pump[0])) if at == 0 and pump is not None else ((x, low),)
        kind = self.drawn.kind(name)
        if kind in VESSELS:
            # A blood vessel goes on behind the drawing: its body reaches a little way across the column.
            body = Vessel(part=name, kind=kind, x=x - 14 if not self.side else x - 58, y=item.top + 8, width=72, height=44)
            self.drawn.vessels.append(body)
            high = item.top + 30
        self.drawn.runs.append(Run(part=name, points=(*bend, (x, high)), wide=True))
        if kind in BODIES and kind not in VESSELS:
            left = x - 14 if not self.side else x - 50
            size = min(item.bottom - item.top - 20, 120.0)
            body = Vessel(part=name, kind=kind, x=left, y=item.middle - size / 2, width=64, height=size)
            self.drawn.vessels.append(body)
        elif kind in ("tap", "stub"):
            self.drawn.vessels.append(Vessel(part=name, kind=kind, x=x - 13, y=item.middle - 13, width=26, height=26))
        else:
            before = self._space_before(at) or (pump[1] if pump else "")
            self.drawn.arrows.append(
                Arrow(part=name, at=(x, item.middle), along=(0.0, -1.0), of=before, to=self._space_after(at))
            )

    def _is_tube(self, name: str) -> bool:
        return self.drawn.family(name) is Family.SPACE and self.drawn.kind(name) not in BODIES

    def _space_before(self, at: int) -> str:
        return next((one.name for one in self.items[:at][::-1] if self.drawn.family(one.name) is Family.SPACE), "")

    def _space_after(self, at: int) -> str:
        return next((one.name for one in self.items[at + 1 :] if self.drawn.family(one.name) is Family.SPACE), "")

    def _joint(self, at: int, otherwise: float) -> float:
        """Where a space meets its neighbour: the middle of a gate or connector, else the border of their rows."""
        if 0 <= at < len(self.items) and self.drawn.family(self.items[at].name) is not Family.SPACE:
            return self.items[at].middle
        return otherwise

    def _words(self, item: _Item) -> None:
        if self.drawn.unsaid(item.name):
            return
        lines = self.drawn.lines(item.name, self.drawn.frame.outer)
        tags = self.drawn.tags(item.name)
        state = self.drawn.state_rows(item.name, self.drawn.frame.outer)
        height = LEADING * (len(lines) + state) + (TAG_ROW if tags else 0.0)
        self.drawn.blocks.append(
            Block(
                part=item.name,
                x=self.x - self.inward * (15 if self._is_tube(item.name) else self.drawn.frame.away),
                y=self.labels[item.name] - 1 if self.drawn.frame.aside else item.middle - height / 2,
                side="start" if self.side else "end",
                width=self.drawn.frame.outer,
                lines=lines,
                tags=tags,
            )
        )

    def _branch(self, slot: Slot, top: float, height: float) -> None:
        """Symbols in a line from the column inwards, their words below or beside; a riser turns up behind them."""
        aside = self.drawn.frame.aside
        y = top + height / 2 if aside else top + 20
        # A body reaches further inwards than a tube does.
        edge = self.x + self.inward * (50 if self.drawn.kind(slot.part) in BODIES else 0)
        here, start = slot.part, edge
        names = flat_part(slot, self.drawn.parts)
        for number, name in enumerate(names):
            x = edge + self.inward * (first_symbol(edge == self.x) + STEP * number)
            self.drawn.runs.append(Run(part=here, points=((start, y), (x, y)), wide=False))
            out = (self.inward, 0.0)
            if self.drawn.family(name) is Family.SPACE:
                self.drawn.vessels.append(
                    Vessel(part=name, kind=self.drawn.kind(name), x=x - 13, y=y - 13, width=26, height=26, out=out)
                )
                here = name
            elif self.drawn.family(name) is Family.END:
                self.drawn.ends.append(End(part=name, at=(x, y), out=out, space=here))
            else:
                self.drawn.gate(name, (x, y), out)
            start = x
        if slot.rises:
            rest = [name for name in slot.branch or () if name in self.drawn.parts][len(names) :]
            self.top.risers.append(Riser(side=self.side, start=(start, y), names=tuple(rest), host=here))
        line = top + self.stack.branch_head(slot)
        away = 17.0 if edge == self.x else 10.0
        if aside:
            line = y - LEADING * self.stack.branch_rows(slot) / 2 - 1
            away = self.stack.branch_start(slot)
        for name in names:
            width = self.stack.branch_width(slot)
            lines = self.drawn.lines(name, width)
            self.drawn.blocks.append(
                Block(
                    part=name,
                    x=edge + self.inward * away,
                    y=line,
                    side="end" if self.side else "start",
                    width=width,
                    lines=lines,
                    inline=True,
                )
            )
            line += LEADING * len(self.stack.branch_words(slot, name))
