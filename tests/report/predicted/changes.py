"""Makes the changes of the table of predictions: to a procedure, and to the rig it is written for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from stepwell.circuit.catalogue import verb
from stepwell.circuit.entry import Arity
from stepwell.model.bodies import each_leaf
from stepwell.model.procedure import Action, Hold, Item, Procedure, Step, steps_of
from stepwell.model.rig import Part, Rig, Setting
from stepwell.model.workspace import Workspace
from tests.circuit.test_settle import quantity
from tests.demo import before_the_looks, changed, moved_behind, rig, without_action, workspace
from tests.report.predicted.table import Row


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """What a row leads to: the procedure, and the workspace with its rig."""

    procedure: Procedure
    workspace: Workspace


def applied(row: Row) -> Changed:
    """The row's changes, made in their order. Each must change something."""
    found = before_the_looks(row.procedure)
    on = rig(found.rig)
    for word, values in row.change:
        if word in ("figure", "trait"):
            before, on = on, _ON_RIG[word](on, values)
            assert on != before, (row.what, word)
        else:
            old, found = found, _ON_PROCEDURE[word](found, values)
            assert found != old, (row.what, word)
    rigs = tuple(on if one.id == on.id else one for one in workspace().rigs)
    procedures = tuple(found if one.id == found.id else one for one in workspace().procedures)
    return Changed(procedure=found, workspace=replace(workspace(), rigs=rigs, procedures=procedures))


def _drop(found: Procedure, values: tuple[object, ...]) -> Procedure:
    """The step or hold left out, with its check."""
    return replace(found, body=each_leaf(found.body, lambda leaf: None if leaf.id == values[0] else leaf))


def _undo(found: Procedure, values: tuple[object, ...]) -> Procedure:
    step, number = values
    assert isinstance(number, int)
    return without_action(found, str(step), number)


def _late(found: Procedure, values: tuple[object, ...]) -> Procedure:
    step, behind = map(str, values)
    return moved_behind(found, step, behind)


def _early(found: Procedure, values: tuple[object, ...]) -> Procedure:
    """Behind the other step, and that one behind it: the other steps stay where they are."""
    step, before = map(str, values)
    between = moved_behind(found, step, before)
    return _swap(between, (step, before))


def _swap(found: Procedure, values: tuple[object, ...]) -> Procedure:
    first, second = map(str, values)
    steps = {step.id: step for step in steps_of(found.body)}

    def change(leaf: Step | Hold) -> Item:
        return steps[{first: second, second: first}[leaf.id]] if leaf.id in (first, second) else leaf

    return replace(found, body=each_leaf(found.body, change))


def _do(found: Procedure, values: tuple[object, ...]) -> Procedure:
    step, actions = values
    assert isinstance(actions, list)
    do = tuple(_action(one) for one in actions)
    return replace(found, body=changed(found.body, lambda old: replace(old, do=do) if old.id == step else old))


def _start(found: Procedure, values: tuple[object, ...]) -> Procedure:
    part, word = map(str, values)
    assert found.starts is not None
    settings = (*found.starts.settings, Setting(part=part, word=word))
    return replace(found, starts=replace(found.starts, settings=settings))


def _action(written: dict[str, object]) -> Action:
    """One action as the files write it; the first key is the verb."""
    (name, of), *options = written.items()
    known = verb(name)
    assert known is not None, name
    if known.arity is Arity.NONE:
        return Action(verb=name, options=(("for", quantity(str(of))),))
    parts = tuple(of) if isinstance(of, list) else (str(of),)
    return Action(verb=name, parts=parts, options=tuple((key, _option(value)) for key, value in options))


def _option(value: object) -> object:
    return quantity(value) if isinstance(value, str) and value[0].isdigit() else value


def _figure(found: Rig, values: tuple[object, ...]) -> Rig:
    part, name, value = map(str, values)
    amount = quantity(f"{value} pieces" if value.isdigit() else value)
    return _with(found, part, lambda old: replace(old, data=(*(d for d in old.data if d[0] != name), (name, amount))))


def _trait(found: Rig, values: tuple[object, ...]) -> Rig:
    part, word = map(str, values)
    return _with(found, part, lambda old: replace(old, traits=() if word == "none" else (word,)))


def _with(found: Rig, part: str, change: Callable[[Part], Part]) -> Rig:
    assert found.part(part) is not None, part
    return replace(found, parts=tuple(change(one) if one.id == part else one for one in found.parts))


_ON_RIG = {"figure": _figure, "trait": _trait}
_ON_PROCEDURE = {
    "drop": _drop,
    "undo": _undo,
    "late": _late,
    "early": _early,
    "swap": _swap,
    "do": _do,
    "start": _start,
}
