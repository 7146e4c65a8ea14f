"""Below the circuit: chains that fit nowhere in it, and the equipment as labelled boxes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stepwell.circuit.entry import Family
from stepwell.render.drawings.plan import BESIDE, Block, End, Note, Run, Vessel
from stepwell.render.drawings.skeleton import ELSEWHERE
from stepwell.render.drawings.type_size import LEADING, wrap

if TYPE_CHECKING:
    from stepwell.render.drawings.columns import Drawn

PER_ROW = 4
BOX_GAP = 10.0


def strips(drawn: Drawn, chains: list[list[str]], y: float) -> float:
    """Each chain from left to right, a few parts to a row. Returns where the next thing may begin."""
    left, number = (drawn.frame.circuit, 2) if drawn.frame.beside else (5.0, PER_ROW)
    for chain in chains:
        for start in range(0, len(chain), number):
            y = _strip(drawn, chain[start : start + number], left, y)
    return y


def _strip(drawn: Drawn, names: list[str], left: float, y: float) -> float:
    middle, cell = y + 24, drawn.frame.cell
    deepest = 0.0
    for at, name in enumerate(names):
        x = left + cell * (at + 0.5)
        low = x - cell if at and drawn.family(names[at - 1]) is not Family.SPACE else x - cell / 2
        high = x + cell if at + 1 < len(names) and drawn.family(names[at + 1]) is not Family.SPACE else x + cell / 2
        kind = drawn.kind(name)
        if name.startswith(ELSEWHERE):
            told = wrap("at " + drawn.label(name.removeprefix(ELSEWHERE)), cell - 10, hyphens=drawn.hyphens)
            for row, line in enumerate(told):
                drawn.notes.append(Note(at=(x - cell / 2 + 6, middle + 38 + LEADING * row), words=line))
            deepest = max(deepest, LEADING * (len(told) + 1))
            reach = ((low, middle), (x, middle)) if at else ((x, middle), (high, middle))
            drawn.runs.append(Run(part=name.removeprefix(ELSEWHERE), points=reach, wide=False))
            continue
        if drawn.family(name) is Family.SPACE:
            drawn.runs.append(Run(part=name, points=((low, middle), (high, middle)), wide=False))
            if kind in ("tap", "stub"):
                body = Vessel(part=name, kind=kind, x=x - 13, y=middle - 13, width=26, height=26, out=(1.0, 0.0))
                drawn.vessels.append(body)
            elif kind not in ("line", "cannula"):
                drawn.vessels.append(Vessel(part=name, kind=kind, x=x - 24, y=middle - 20, width=48, height=40))
        elif drawn.family(name) is Family.END:
            beside = names[at - 1] if at else names[min(1, len(names) - 1)]
            drawn.ends.append(End(part=name, at=(x, middle), out=(1.0 if at else -1.0, 0.0), space=beside, apart=True))
        else:
            drawn.gate(name, (x, middle), (1.0, 0.0))
        if drawn.unsaid(name):
            continue
        lines = drawn.lines(name, cell - 10)
        drawn.blocks.append(
            Block(part=name, x=x, y=middle + 22, side="middle", width=cell - 10, lines=lines, tags=drawn.tags(name))
        )
        state = drawn.state_rows(name, cell - 10)
        deepest = max(deepest, LEADING * (len(lines) + state) + (24 if drawn.tags(name) else 0))
    return middle + 26 + deepest


def equipment_boxes(drawn: Drawn, names: list[str], y: float) -> float:
    """Each with its letter, label and room for its state; two to a row, one beside the circuit. Returns where to go on."""
    frame = drawn.frame
    number, left = (1, frame.circuit) if frame.beside else (2, BOX_GAP)
    width = BESIDE - BOX_GAP if frame.beside else (frame.circuit - 3 * BOX_GAP) / 2
    for start in range(0, len(names), number):
        pair = names[start : start + number]
        wrapped = [wrap(drawn.label(name), width - 52, hyphens=drawn.hyphens) for name in pair]
        states = [drawn.state_rows(name, width - 52) for name in pair]
        height = max(LEADING * (len(lines) + more) + 16 for lines, more in zip(wrapped, states, strict=True))
        for at, (name, lines) in enumerate(zip(pair, wrapped, strict=True)):
            x = left + at * (width + BOX_GAP)
            drawn.vessels.append(Vessel(part=name, kind="box", x=x, y=y, width=width, height=height))
            drawn.blocks.append(
                Block(
                    part=name,
                    x=x + 40,
                    y=y + 6,
                    side="start",
                    width=width - 52,
                    lines=lines,
                    boxed=True,
                    letter=drawn.letters.get(name, ""),
                )
            )
        y += height + BOX_GAP
    return y
