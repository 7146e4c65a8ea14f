"""Whether a change leaves everything else as good as it was: every rule, every finding, and what starts from here."""

from __future__ import annotations

from datetime import date

from stepwell.diagnostics.severity import Severity
from stepwell.model.procedure import Body, Procedure
from stepwell.model.workspace import Workspace
from stepwell.repairs.scene import BOUNDS, Scene
from stepwell.repairs.trouble import Key
from stepwell.report.check import Options, check_procedure
from stepwell.report.faults import ALREADY_SO
from stepwell.report.keep import narrowed
from stepwell.report.results import ProcedureReport, Status

_RANK = {Status.HOLDS: 0, Status.NOT_APPLICABLE: 0, Status.NOT_DECIDED: 1, Status.VIOLATED: 2}


def at_first_sight(scene: Scene, key: Key, body: Body) -> frozenset[Key] | None:
    """What a search still meets, if not the trouble of this key, and nothing that it did not meet before; else None.

    None, too, where something is no longer filled, freed of air or made to flow that was: a card that does nothing is safe.
    """
    found = scene.searched(body)
    good = (
        key not in found.keys
        and found.keys <= scene.base.keys
        and found.complete
        and scene.base.achieved <= found.achieved
        and (scene.base.stuck or not found.stuck)
        and set(found.problems) <= set(scene.base.problems)
    )
    return found.keys if good else None


class Rechecks:
    """Full checks of changed bodies, each compared with the full check of the procedure as it stands."""

    def __init__(self, scene: Scene, as_of: date) -> None:
        self.scene, self.as_of = scene, as_of
        self.base = {one.id: self._report(scene.workspace, one) for one in self._touched()}

    def passes(self, key: Key, body: Body) -> bool:
        """True if nothing is worse, here and in what starts from here, and the rule of ``key`` is decided and kept."""
        where, new = self.scene.as_changed(body)
        report = self._report(where, new)
        named = [verdict for verdict in report.verdicts if verdict.rule == key[0]]
        if any(_RANK[verdict.status] for verdict in named) or not report.complete:
            return False
        if not self._as_good(report):
            return False
        others = [one for one in where.procedures if one.id in self.base and one.id != new.id]
        return all(self._as_good(self._report(where, one)) for one in others)

    def _touched(self) -> tuple[Procedure, ...]:
        """The procedure itself, and those that start from its end or from the end of one that does."""
        mine = self.scene.procedure
        others = (one for one in self.scene.workspace.procedures if one.id != mine.id and not one.wording_only)
        return (mine, *(one for one in others if mine in narrowed(self.scene.workspace, one).procedures))

    def _report(self, where: Workspace, procedure: Procedure) -> ProcedureReport:
        options = Options(bounds=BOUNDS, bites=False, as_of=self.as_of)
        return check_procedure(where, procedure, clock=self.scene.clock, options=options)

    def _as_good(self, report: ProcedureReport) -> bool:
        base = self.base[report.procedure]
        was = {verdict.rule: _RANK[verdict.status] for verdict in base.verdicts}
        if any(_RANK[verdict.status] > was.get(verdict.rule, 0) for verdict in report.verdicts):
            return False
        found, known = _counted(report), _counted(base)
        return found <= known and (base.complete <= report.complete)


def _counted(report: ProcedureReport) -> set[tuple[str, str | None]]:
    """Findings by name and step. How a line is written is the author's to weigh, unless it is serious.

    An action that becomes needless because of the change shows that another change was wanted.
    """
    rules = {verdict.rule for verdict in report.verdicts}
    return {
        (finding.rule, finding.step)
        for finding in report.findings
        if not finding.waived
        and (finding.severity >= Severity.SERIOUS or finding.rule in rules or finding.rule == ALREADY_SO.name)
    }
