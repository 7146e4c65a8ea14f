"""The words that the form offers: keys of a step, parts of the set, verbs, facts, roles, figures, cards."""

from __future__ import annotations

from pathlib import Path

from stepwell.authoring.preview.desk import Desk
from stepwell.authoring.preview.snapshot import procedure_files
from stepwell.authoring.preview.tell import Json
from stepwell.circuit.entry import Arity, FactEntry, OptionSpec, Verb
from stepwell.model.rig import Rig
from stepwell.model.workspace import Workspace
from stepwell.source.nodes import Mapping, plain_value
from stepwell.source.notes import Notes
from stepwell.source.parse import parse
from stepwell.source.sections import STEP, WARN, Section
from stepwell.source.vocabulary import built_in


def words(desk: Desk, name: str) -> Json | None:
    """The words for one procedure; None if there is no such file."""
    path = procedure_files(desk.root).get(name)
    workspace = None if desk.loaded is None else desk.loaded.workspace
    if path is None:
        return None
    rig = None if workspace is None else _rig(workspace, path)
    return {
        "keys": _keys(STEP),
        "warn": _keys(WARN),
        "rig": "" if rig is None else rig.title,
        "baselines": [] if rig is None else [one.name for one in rig.baselines],
        "parts": [] if rig is None else [_part(rig, at) for at in range(len(rig.parts))],
        "verbs": [_verb(verb) for verb in built_in().verbs],
        "facts": [_fact(fact) for fact in built_in().facts if fact.observed and not fact.passing],
        **_of_unit(workspace),
    }


def _rig(workspace: Workspace, path: Path) -> Rig | None:
    """The set of a procedure by what its file says; the first of several."""
    try:
        root = parse(path.read_bytes(), Notes(""))
    except OSError:
        return None
    entry = root.get("rig") if isinstance(root, Mapping) else None
    value = None if entry is None else plain_value(entry.value)
    first = value[0] if isinstance(value, list) and value else value
    return next((rig for rig in workspace.rigs if rig.id == first), None)


def _of_unit(workspace: Workspace | None) -> Json:
    if workspace is None:
        return {"roles": [], "numbers": [], "cards": []}
    unit = workspace.unit
    return {
        "roles": [{"id": role.id, "label": role.label, "mark": role.mark} for role in unit.roles],
        "numbers": [{"id": one.name, "value": str(one.value), "note": one.note} for one in unit.numbers],
        "cards": [{"id": one.id, "title": one.title} for one in workspace.procedures],
    }


def _keys(section: Section) -> list[Json]:
    return [{"name": key.name, "takes": key.takes, "example": key.example, "required": key.required} for key in section.keys]


def _part(rig: Rig, at: int) -> Json:
    part = rig.parts[at]
    return {"id": part.id, "label": part.label or part.id, "kind": part.kind, "place": part.place}


def _verb(verb: Verb) -> Json:
    # A verb without parts is written with one of its options as its value, such as `wait: 60 s`.
    own = next((one for one in (*filter(_required, verb.options), *verb.options)), None)
    return {
        "name": verb.name,
        "summary": verb.summary,
        "arity": verb.arity.value,
        "kinds": [list(kinds) for kinds in verb.pairs],
        "own": own.name if own is not None and verb.arity is Arity.NONE else "",
        "options": [_option(one) for one in verb.options],
    }


def _required(option: OptionSpec) -> bool:
    return option.required


def _option(option: OptionSpec) -> Json:
    return {
        "name": option.name,
        "takes": option.takes,
        "summary": option.summary,
        "choices": list(option.choices),
        "required": option.required,
    }


def _fact(fact: FactEntry) -> Json:
    return {
        "name": fact.name,
        "summary": fact.summary,
        "args": [{"name": arg.name, "kinds": list(arg.kinds), "choices": list(arg.choices)} for arg in fact.args],
        "observed": list(fact.observed),
    }
