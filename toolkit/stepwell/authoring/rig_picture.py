"""The drawing of a rig that may be half written: what fits together is drawn, and what does not is said."""

from __future__ import annotations

from dataclasses import dataclass, replace

from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.kinds import part_kind
from stepwell.circuit.settings import baseline_state
from stepwell.circuit.settle import settle
from stepwell.diagnostics.finding import Finding
from stepwell.model.rig import Chain, Part, Rig, Setting
from stepwell.render.drawings.draw import Picture, draw
from stepwell.report.circuit_state import CircuitState, circuit_state
from stepwell.report.rig_faults import NOT_DRAWN

HALF = "Half written: this is not the whole set"


@dataclass(frozen=True, slots=True, kw_only=True)
class RigPicture:
    """``svg`` is None where nothing can be drawn. ``findings`` are the chains that were left out of it."""

    svg: str | None
    findings: tuple[Finding, ...] = ()


def rig_picture(rig: Rig, *, whole: bool) -> RigPicture:
    """The rig in its first named state; chains that can't stand beside the others are left out, one by one."""
    made = _drawn(rig, whole=whole)
    if made is not None or whole:
        return RigPicture(svg=made)
    kept: list[Chain] = []
    lost: list[Finding] = []
    for chain in rig.chains:
        if _drawn(replace(rig, chains=(*kept, chain)), whole=False) is None:
            lost.append(_not_drawn(chain))
        else:
            kept.append(chain)
    return RigPicture(svg=_drawn(replace(rig, chains=tuple(kept)), whole=False), findings=tuple(lost))


def _drawn(rig: Rig, *, whole: bool) -> str | None:
    """The drawing; None where a half-written rig can't be laid out. The faults of a whole one are the tool's own."""
    used = {name.partition(".")[0] for chain in rig.chains for name in chain.parts}
    if not used:
        return None
    rig = rig if whole else _fitting(rig, used)
    try:
        state = _state(rig)
        caption = f"{rig.title or rig.id}" if whole else f"{rig.title or rig.id}. {HALF}"
        return draw(rig, Picture(state=state, caption=caption))
    except (LookupError, ValueError, ArithmeticError, StopIteration):
        if whole:
            raise
        return None


def _fitting(rig: Rig, used: set[str]) -> Rig:
    """The rig without equipment whose own part is not drawn, and without joints of which one side is not there."""
    through = {name for chain in rig.chains for name in chain.parts[1:-1]}

    def stands(part: Part) -> bool:
        kind = part_kind(part.kind)
        if kind is None:
            return False
        needed = [spec.name for spec in kind.refs if spec.required]
        if kind.name == "pump-head":
            return part.id in through
        reached = through if kind.name == "drive" else used
        return all(part.ref(name) for name in needed) and all(one in reached for name in needed for one in part.ref(name))

    parts = tuple(part for part in rig.parts if part.id in used or stands(part))
    known = {part.id for part in parts}
    refs = {part.id: tuple((name, kept) for name, ids in part.refs if (kept := _among(ids, known))) for part in parts}
    baselines = tuple(
        replace(one, settings=tuple(s for s in one.settings if s.part in known and _joint_stands(s, used)))
        for one in rig.baselines
    )
    return replace(rig, parts=tuple(replace(part, refs=refs[part.id]) for part in parts), baselines=baselines)


def _among(ids: tuple[str, ...], known: set[str]) -> tuple[str, ...]:
    return tuple(one for one in ids if one in known)


def _joint_stands(setting: Setting, used: set[str]) -> bool:
    word, _, mate = setting.word.partition(":")
    return word != "joined" or {setting.part, mate} <= used


def _state(rig: Rig) -> CircuitState:
    layout = compile_rig(rig)
    start = baseline_state(layout, rig.baselines[0]) if rig.baselines else layout.defaults
    return circuit_state(layout, settle(layout, start).state)


def _not_drawn(chain: Chain) -> Finding:
    return Finding(
        rule=NOT_DRAWN.name,
        code=NOT_DRAWN.code,
        severity=NOT_DRAWN.severity,
        message=f"The chain from `{chain.parts[0]}` to `{chain.parts[-1]}` could not be drawn beside the others.",
        mend="Mend what is told of its parts first; then it is drawn.",
        span=chain.span,
    )
