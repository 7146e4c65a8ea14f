"""Which procedures are worth a comparison of slips: those whose course changed and that do no harm by themselves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from stepwell.compare.between import Between
from stepwell.compare.meaning import newly_broken, rules_hash
from stepwell.compare.tree import content
from stepwell.model.bodies import each_leaf
from stepwell.model.procedure import Hold, Item, Procedure, Sight, Step
from stepwell.model.workspace import Workspace
from stepwell.report.results import ProcedureReport

Checked = Mapping[str, ProcedureReport]


def slips_worth_comparing(
    between: Between, sides: tuple[Workspace, Workspace], checked: tuple[Checked, Checked]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(old ids, new ids): the slips of the others are the same on both sides, or can't be compared."""
    pairs = dict(between.procedures)
    back = {there: here for here, there in pairs.items()}
    procedures = [{one.id: one for one in side.procedures} for side in sides]
    old: list[str] = []
    new: list[str] = []
    for name, report in checked[1].items():
        before = checked[0].get(back.get(name, name))
        if not report.checked or newly_broken(before, report):
            continue
        here = procedures[0].get(back.get(name, ""))
        if here is not None and _course(sides[0], here) == _course(sides[1], procedures[1][name]):
            continue
        new.append(name)
        if here is not None and before is not None and before.checked:
            old.append(here.id)
    return tuple(old), tuple(new)


def _course(workspace: Workspace, procedure: Procedure) -> Any:
    """Everything on which slips depend: the body without its words, the start, the end, the rig and the rules."""
    rig = next((one for one in workspace.rigs if one.id == procedure.rig), None)
    parts = () if rig is None else tuple(replace(part, label="", place="") for part in rig.parts)
    bare = replace(procedure, title="", version="", body=each_leaf(procedure.body, _mute))
    told = (bare.kind, bare.rig, bare.people, bare.starts, bare.ends, bare.body, bare.hands_over)
    before = procedure.starts.procedure if procedure.starts is not None else None
    earlier = next((one for one in workspace.procedures if one.id == before), None)
    joints = () if rig is None else (rig.chains, rig.baselines)
    return content((told, parts, joints)), rules_hash(workspace), earlier and _course(workspace, earlier)


def _mute(leaf: Step | Hold) -> Item:
    if isinstance(leaf, Hold):
        return replace(leaf, title=(), abort=(), until=tuple(one for one in leaf.until if not isinstance(one, Sight)))
    expect = tuple(one for one in leaf.expect if not isinstance(one, Sight))
    return replace(leaf, say=(), why=(), warn=(), takes=None, missed=(), expect=expect)
