"""The circuit at a step or at the moment of a finding, drawn when the page asks for it."""

from __future__ import annotations

from functools import lru_cache

from stepwell.authoring.preview.judge import Judged
from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.layout import State
from stepwell.model.rig import Rig
from stepwell.render.drawings.draw import Picture, draw
from stepwell.render.drawings.key import key_picture
from stepwell.report.circuit_state import CircuitState, circuit_state

FOOT = ("DRAFT - NOT FOR USE", "Drawn for one permitted order.")


def drawing_of_step(judged: Judged, at: int, step: str, caption: str) -> str | None:
    """The circuit after a step (an empty one: at the start); None where there is nothing to draw."""
    rig = judged.rig(at)
    pictures = judged.reports[at].pictures
    if rig is None or not pictures:
        return None
    if not step:
        return _drawn(rig, pictures[0].before, pictures[0].before, (), "At the start")
    picture = next((one for one in pictures if one.step == step), None)
    return None if picture is None else _drawn(rig, picture.before, picture.after, (), caption)


def drawing_of_finding(judged: Judged, at: int, number: int) -> str | None:
    """The circuit at the moment that a finding tells of; None where it tells of none."""
    rig = judged.rig(at)
    findings = judged.reports[at].findings
    trace = findings[number].trace if 0 <= number < len(findings) else None
    if rig is None or trace is None or len(trace.around) != 2:
        return None
    return _drawn(rig, *trace.around, trace.parts, f"At that moment: {findings[number].message}")


def key() -> str:
    """What the signs mean."""
    return key_picture()


@lru_cache(maxsize=128)
def _drawn(rig: Rig, before: State, after: State, look: tuple[str, ...], caption: str) -> str | None:
    was, now = _state(rig, before), _state(rig, after)
    if was is None or now is None:
        return None
    changed = now.changed(was)
    picture = Picture(state=now, changed=changed, look=frozenset(look), caption=caption, foot=FOOT, key=False)
    return draw(rig, picture)


@lru_cache(maxsize=256)
def _state(rig: Rig, state: State) -> CircuitState | None:
    layout = compile_rig(rig)
    # A state of another layout (a set that changed since) can't be drawn.
    return circuit_state(layout, state) if len(state) == len(layout.variables) else None
