"""One picture: a rig's plan in one state, as an SVG file."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

from stepwell.model.language import ENGLISH, Language
from stepwell.model.rig import Rig
from stepwell.render.drawings import symbols
from stepwell.render.drawings.key import KEY_HEIGHT, draw_key
from stepwell.render.drawings.paint import INK, PAPER, SOFT, definitions, inside, outline
from stepwell.render.drawings.paper import FONT, Paper, Point, Words
from stepwell.render.drawings.place import plan_of
from stepwell.render.drawings.plan import SCREEN, Block, Frame, Plan
from stepwell.render.drawings.skeleton import one_name
from stepwell.render.drawings.state_words import describe, flow_words, joined_words, state_words
from stepwell.render.drawings.type_size import (
    LEADING,
    SIZE,
    broken,
    hyphened,
    one_line,
    two_weights,
    unhyphened,
    width_of,
    wrap,
)
from stepwell.report.circuit_state import CircuitState, PartState

NO_STATE = PartState(part="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """What is drawn: the state, which parts changed since the picture before, and which are to be looked at.

    ``caption`` says which moment it is; ``foot`` are lines of small print below the key.
    """

    state: CircuitState
    changed: frozenset[str] = frozenset()
    look: frozenset[str] = frozenset()
    caption: str = ""
    foot: tuple[str, ...] = field(default=())
    key: bool = True
    ground: bool = True
    """White below; without it what the page has in its background, such as the draft mark, shows through."""
    frame: Frame = SCREEN
    said: tuple[tuple[str, str], ...] = ()
    """What stands beside each part, by its id, in the place of label and state (see ``drawings.compare``)."""
    language: Language = ENGLISH
    joined: frozenset[tuple[str, str]] = frozenset()
    """What is joined, where circuits that do not touch shall be drawn one below the other."""


@lru_cache(maxsize=64)
def _plan(
    rig: Rig, frame: Frame, said: tuple[tuple[str, str], ...], language: str, joined: frozenset[tuple[str, str]]
) -> Plan:
    return plan_of(rig, frame, dict(said), language, joined)


def planned(rig: Rig, picture: Picture) -> Plan:
    """Where everything of a picture is."""
    return _plan(rig, picture.frame, picture.said, picture.language.code, picture.joined)


def draw(rig: Rig, picture: Picture) -> str:
    """The picture as SVG: no scripts, nothing from outside, the same bytes for the same picture."""
    return _Drawing(rig, planned(rig, picture), picture).svg()


def draw_parted(rig: Rig, picture: Picture) -> tuple[str, tuple[Words, ...]]:
    """The picture without its words, and the words; whoever shows them sets them at 16 units to the line in its own type."""
    drawing = _Drawing(rig, planned(rig, picture), picture, words_aside=True)
    return drawing.svg(), tuple(drawing.paper.aside)


def size_of(rig: Rig, picture: Picture) -> tuple[int, int]:
    """Width and height of a picture in its own units."""
    return round(picture.frame.width), round(_Drawing(rig, planned(rig, picture), picture).height)


def broken_words(rig: Rig, picture: Picture) -> tuple[int, int]:
    """Of how many parts the words are so long that one of them is broken without a hyphen; and hyphens put in."""
    said = dict(picture.said)
    blocks = planned(rig, picture).blocks
    told = [(block.lines, unhyphened(said[block.part])) for block in blocks if block.part in said]
    return sum(broken(*one) for one in told), sum(hyphened(*one) for one in told)


class _Drawing:
    def __init__(self, rig: Rig, plan: Plan, picture: Picture, *, words_aside: bool = False) -> None:
        self.rig = rig
        self.plan = plan
        self.picture = picture
        self.paper = Paper(words_aside=words_aside)
        self.states = {one.part: one for one in picture.state.parts}
        self.labels = {part.id: part.label or part.id for part in rig.parts}
        self.names = {part.id: one_name(part) for part in rig.parts}
        self.said = dict(picture.said)
        self.hyphens = plan.hyphens
        self.broad = {run.part for run in plan.runs if run.wide}
        self.apart = {end.part for end in plan.ends if end.apart}
        self.foot = [line for words in picture.foot for line in wrap(words, plan.frame.width - 16, plain=len(words))]
        self.height = (
            plan.key_y + (KEY_HEIGHT if picture.key else 0.0) + LEADING * len(self.foot) + (4 if plan.frame.bare else 10)
        )

    def svg(self) -> str:
        paper = self.paper
        title, told = describe(
            self.rig, self.picture.caption, self.picture.state, self.picture.changed, self.picture.language
        )
        height = round(self.height)
        box = f"0 0 {self.plan.frame.width:.0f} {height}"
        paper.open(
            "svg", xmlns="http://www.w3.org/2000/svg", viewBox=box, width=self.plan.frame.width, height=height, role="img",
            aria_labelledby="title desc", font_family=FONT, font_size=SIZE, fill=INK,
        )  # fmt: skip
        for name, words in (("title", title), ("desc", told)):
            paper.open(name, id=name)
            paper.words(words)
            paper.close(name)
        definitions(paper, {state.contents or 0 for state in self.states.values()} | {5, 12})
        if self.picture.ground:
            paper.rect(0, 0, self.plan.frame.width, height, fill=PAPER)
        if not self.plan.frame.bare:
            paper.text((8, 22), one_line(self.picture.caption, self.plan.frame.width - 16), font_weight=700)
            paper.text((8, 22 + LEADING), flow_words(self.picture.state, self.picture.language), fill=SOFT)
        self._circuit()
        if self.picture.key:
            draw_key(paper, self.plan.key_y)
        for at, line in enumerate(self.foot):
            paper.text((8, height - 8 - LEADING * (len(self.foot) - 1 - at)), line, font_size=14, fill=SOFT)
        paper.close("svg")
        return "".join(paper.lines) + "\n"

    def _state(self, part: str) -> PartState:
        return self.states.get(part, NO_STATE)

    def _changed(self, part: str) -> bool:
        return part in self.picture.changed

    def _circuit(self) -> None:
        plan, paper = self.plan, self.paper
        for changed in (False, True):
            for run in plan.runs:
                if self._changed(run.part) is changed:
                    outline(paper, run.points, self._state(run.part).contents, wide=run.wide, changed=changed)
        for run in plan.runs:
            inside(paper, run.points, self._state(run.part).contents, wide=run.wide)
        self._joints()
        for body in plan.vessels:
            state = self._state(body.part)
            symbols.vessel(paper, body, state.contents, state.words, changed=self._changed(body.part))
        for end in plan.ends:
            symbols.end(paper, end, self._state(end.part).mate, changed=self._changed(end.part))
        for gate in plan.gates:
            symbols.gate(paper, gate, self._state(gate.part).words, changed=self._changed(gate.part))
        if not self.plan.frame.bare:
            self._movement()
        for note in plan.notes:
            paper.text(note.at, note.words, fill=SOFT)
        for block in plan.blocks:
            self._block(block)

    def _joints(self) -> None:
        """The tubing between two joined ends: each half with the contents of its own side."""
        ends = {end.part: end for end in self.plan.ends}
        for end in self.plan.ends:
            other = ends.get(self._state(end.part).mate)
            if other is None or other.part < end.part or end.apart or other.apart:
                continue
            way = _route(end.at, end.out, other.at, other.out)
            middle = len(way) // 2
            changed = self._changed(end.part)
            wide = {end.space, other.space} <= self.broad
            halves = ((end.space, way[: middle + 1]), (other.space, way[middle:]))
            # White below, so that tubing which is crossed is seen to pass behind.
            self.paper.line(way, stroke=PAPER, stroke_width=30, fill="none")
            for space, points in halves:
                outline(self.paper, points, self._state(space).contents, wide=wide, changed=changed)
            for space, points in halves:
                inside(self.paper, points, self._state(space).contents, wide=wide)

    def _movement(self) -> None:
        moves = {(way.of, way.to): way.sure for way in self.picture.state.ways}
        for arrow in self.plan.arrows:
            part, of, to = arrow.part, arrow.of, arrow.to
            with_list = [sure for way, sure in moves.items() if way in ((of, part), (part, to))]
            against = [sure for way, sure in moves.items() if way in ((part, of), (to, part))]
            state = self._state(arrow.part)
            x, y = arrow.at
            along = arrow.along
            back = (-along[0], -along[1])
            if with_list and against:
                symbols.arrow(self.paper, (x, y - 24), along, sure=False)
                symbols.arrow(self.paper, (x, y - 6), back, sure=False)
            elif with_list or against:
                sure = all(with_list or against)
                symbols.arrow(self.paper, (x, y - 11), along if with_list else back, sure=sure)
            if state.pressure is not None:
                symbols.pressure(self.paper, (x, y + 12), state.pressure)
        for body in self.plan.vessels:
            mark = self._state(body.part).pressure
            if mark is not None and body.kind in ("oxygenator", "pump-head"):
                symbols.pressure(self.paper, (body.centre[0], body.y + body.height - 14), mark)

    def _block(self, block: Block) -> None:
        """The label as on the set, its state below it; a bar beside what changed."""
        if block.part in self.said:
            self._said_block(block)
            return
        paper, state, changed = self.paper, self._state(block.part), self._changed(block.part)
        part = self.rig.part(block.part)
        words = state_words(part, state, self.picture.language)
        if state.mate in self.apart or (block.part in self.apart and state.mate in self.labels):
            words = joined_words(self.labels, state, self.picture.language)
        paper.open("g", data_part=block.part)
        weight = 700 if changed else 400
        label = self.labels.get(block.part, block.part)
        lines = [(line, weight, INK) for line in block.lines]
        if block.inline:
            lines = [
                (line, weight, INK)
                for line in wrap(f"{label}: {words}" if words else label, block.width, hyphens=self.hyphens)
            ]
        else:
            lines += [
                (line, weight, INK if changed else SOFT) for line in wrap(words, block.width, hyphens=self.hyphens) if line
            ]
        y = block.y + SIZE
        for line, heavy, fill in lines:
            paper.text((block.x, y), line, text_anchor=block.side, font_weight=heavy, fill=fill)
            y += LEADING
        high = LEADING * len(lines)
        self._marks(block, y, changed)
        edge = {"start": block.x - 9, "end": block.x + 4, "middle": block.x - block.width / 2 - 9}[block.side]
        if changed and not block.boxed and block.side != "middle":
            paper.rect(edge, block.y + 1, 5, high, fill=INK)
        if block.part in self.picture.look:
            wide = min(max(width_of(line, bold=True) for line, _, _ in lines) + 10, block.width + 14)
            left = {"start": block.x - 5, "end": block.x - wide + 5, "middle": block.x - wide / 2}[block.side]
            symbols.ring(paper, max(2.0, left), block.y - 2, wide, high + 6)
        paper.close("g")

    def _said_block(self, block: Block) -> None:
        """What is said of a part, its state in bold behind its label; a part whose state is open in a frame."""
        words, label = unhyphened(self.said[block.part]), len(self.names[block.part]) + 1
        y = block.y + SIZE
        self.paper.open("g", data_part=block.part)
        for plain, bold in two_weights(block.lines, words, label):
            self.paper.text_in_two((block.x, y), plain, bold, text_anchor=block.side)
            y += LEADING
        if block.part in self.picture.look:
            wide = max(block.widths) + 10
            left = {"start": block.x - 5, "end": block.x - wide + 5, "middle": block.x - wide / 2}[block.side]
            symbols.ring(self.paper, max(2.0, left), block.y - 1, wide, LEADING * len(block.lines) + 5)
        self.paper.close("g")

    def _marks(self, block: Block, y: float, changed: bool) -> None:
        if block.letter:
            symbols.letter(self.paper, (block.x - 20, block.y + 13), block.letter, changed=changed)
        for at, tag in enumerate(block.tags):
            step = 24.0 * at
            x = {"start": block.x + 10 + step, "end": block.x - 10 - step}.get(
                block.side, block.x - 12 * (len(block.tags) - 1) + step
            )
            symbols.letter(self.paper, (x, y - 4), tag, changed=False)


def _route(a: Point, out_a: Point, b: Point, out_b: Point) -> tuple[Point, ...]:
    """The way from one end to the other; it has a corner or a point in its middle."""
    if abs(out_a[0]) > 0 or abs(out_b[0]) > 0 or a[0] == b[0]:
        return a, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), b
    level = (a[1] + b[1]) / 2
    if out_a[1] == out_b[1]:
        level = min(a[1], b[1]) - 26 if out_a[1] < 0 else max(a[1], b[1]) + 26
    return a, (a[0], level), ((a[0] + b[0]) / 2, level), (b[0], level), b
