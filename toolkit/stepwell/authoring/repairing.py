"""From a mend of the model to a repair that people read and the tool can write."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from stepwell.authoring.repair_file import NotWritableError, edits_for
from stepwell.diagnostics.repair import Repair
from stepwell.model.procedure import Procedure
from stepwell.model.workspace import Workspace
from stepwell.repairs.search import Mend
from stepwell.repairs.wording import Wording


def repair_of(root: Path, workspace: Workspace, procedure: Procedure, mend: Mend) -> Repair:
    """The repair of a mend that has changes. Where it can't be written into the file it has no edits, and says why."""
    rig = next(rig for rig in workspace.rigs if rig.id == procedure.rig)
    wording = Wording(procedure, rig, workspace.unit)
    notes = wording.notes(mend.changes, mend.left)
    numbers = {number.name: number.value for number in workspace.unit.numbers}
    try:
        if sum(one.path == procedure.path for one in workspace.procedures) > 1:
            raise NotWritableError("the file is written for several rigs")
        wanted = replace(procedure, body=mend.body)
        edits = edits_for(root, Path(procedure.path), wanted, mend.changes, numbers)
    except NotWritableError as problem:
        edits, notes = (), (*notes, f"The tool does not write it into the file itself: {problem}.")
    return Repair(sentence=wording.sentence(mend.changes), edits=edits, notes=notes, tried=mend.tried)
