"""The drawings of a site: files of their own, which pages load only when they come into sight."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.layout import Layout, State
from stepwell.diagnostics.finding import Finding
from stepwell.model.rig import Rig
from stepwell.model.workspace import Workspace
from stepwell.publish.sheet import Sheet, lines_of, spoken
from stepwell.render.drawings.draw import Picture, draw, size_of
from stepwell.render.drawings.key import key_picture
from stepwell.report.circuit_state import CircuitState, circuit_state
from stepwell.report.results import CheckReport, ProcedureReport

KEY = "drawn/key.svg"
DRAFT = "DRAFT - NOT FOR USE"


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One drawing on a page: its path from the top of the site, its size in px, and what it shows in words."""

    path: str
    width: int
    height: int
    alt: str


@dataclass(slots=True)
class Drawn:
    """``files`` by path; ``steps`` by procedure and step, the start under an empty step; ``moments`` by finding."""

    files: dict[str, bytes] = field(default_factory=dict)
    steps: dict[str, dict[str, Figure]] = field(default_factory=dict)
    moments: dict[Finding, Figure] = field(default_factory=dict)


def draw_all(workspace: Workspace, report: CheckReport, sheets: Mapping[str, Sheet], names: Mapping[str, str]) -> Drawn:
    """Draw every step and every unsafe moment whose states are known. ``names`` are folder names by procedure."""
    made = Drawn()
    rigs = {rig.id: rig for rig in workspace.rigs}
    of = {procedure.id: rigs.get(procedure.rig) for procedure in workspace.procedures}
    for one in report.procedures:
        rig, sheet = of.get(one.procedure), sheets.get(one.procedure)
        if rig is not None and sheet is not None and _has_states(one):
            _Folder(made, rig, sheet, names[one.procedure]).draw(one)
    if made.files:
        made.files[KEY] = key_picture().encode()
    return made


def _has_states(report: ProcedureReport) -> bool:
    told = any(finding.trace is not None and finding.trace.around for finding in report.findings)
    return told or any(picture.after for picture in report.pictures)


class _Folder:
    """The drawings of one procedure."""

    def __init__(self, made: Drawn, rig: Rig, sheet: Sheet, name: str) -> None:
        self.made = made
        self.rig = rig
        self.sheet = sheet
        self.name = name
        self.layout: Layout = compile_rig(rig)
        self.known: dict[State, CircuitState] = {}
        draft = (DRAFT,) if sheet.status.draft else ()
        self.foot = (*draft, f"{sheet.title} {sheet.version}. Set: {sheet.rig.sentence}. Drawn for one permitted order.")

    def draw(self, report: ProcedureReport) -> None:
        """Every step in the order of the page, then the findings that tell a run."""
        lines = {line.id: line for line in lines_of(self.sheet.items)}
        mine = self.made.steps.setdefault(self.sheet.id, {})
        for picture in report.pictures:
            line = lines.get(picture.step)
            before, after = self._state(picture.before), self._state(picture.after)
            if line is None or before is None or after is None:
                continue
            if not mine:
                mine[""] = self._figure("start", Picture(state=before, caption="At the start"), "The circuit at the start")
            # A line after which everything is as before needs no drawing: the one before still holds.
            if after == before:
                continue
            caption = f"After step {line.mark}: {spoken(line.text)}"
            picture_of = Picture(state=after, changed=after.changed(before), caption=caption)
            mine[picture.step] = self._figure(picture.step, picture_of, f"Circuit after step {line.mark}")
        for number, finding in enumerate(report.findings):
            self._moment(finding, number)

    def _state(self, state: State) -> CircuitState | None:
        # A state of another layout (a rig that changed since) can't be drawn.
        if len(state) != len(self.layout.variables):
            return None
        if state not in self.known:
            self.known[state] = circuit_state(self.layout, state)
        return self.known[state]

    def _moment(self, finding: Finding, number: int) -> None:
        trace = finding.trace
        if trace is None or len(trace.around) != 2:
            return
        before, after = (self._state(state) for state in trace.around)
        if before is None or after is None:
            return
        picture = Picture(
            state=after,
            changed=after.changed(before),
            look=frozenset(trace.parts),
            caption=f"At that moment: {finding.message}",
        )
        self.made.moments[finding] = self._figure(f"finding-{number + 1}", picture, "The circuit at that moment")

    def _figure(self, name: str, picture: Picture, alt: str) -> Figure:
        whole = Picture(
            state=picture.state,
            changed=picture.changed,
            look=picture.look,
            caption=picture.caption,
            foot=self.foot,
            key=False,
        )
        path = f"drawn/{self.name}/{name}.svg"
        self.made.files[path] = draw(self.rig, whole).encode()
        width, height = size_of(self.rig, whole)
        return Figure(path=path, width=width, height=height, alt=alt)
