"""One procedure as the page shows it: its lines as they are written, and beside each what was found at it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from stepwell.authoring.editing.apply import node_at
from stepwell.authoring.editing.layout import lines_of
from stepwell.authoring.editing.outline import Row, every_row, outline
from stepwell.authoring.editing.proposed import proposal_in
from stepwell.authoring.preview.desk import Desk
from stepwell.authoring.preview.judge import Judged, findings_of_input
from stepwell.authoring.preview.snapshot import digest_in, procedure_files
from stepwell.authoring.preview.tell import Json, place_of, told_finding, told_verdict
from stepwell.authoring.proposals import MARK
from stepwell.diagnostics.finding import Finding
from stepwell.publish.numbering import marks_of
from stepwell.source.decode import decode
from stepwell.source.files import shown
from stepwell.source.nodes import Mapping, Node, plain_value
from stepwell.source.notes import Notes
from stepwell.source.parse import parse

HEAD = (
    "procedure",
    "title",
    "version",
    "kind",
    "rig",
    "use",
    "people",
    "fewest-people",
    "use-when",
    "do-not-use-when",
    "starts",
    "ends",
    "done-call",
    "hands-over",
    "kit",
    "cautions",
    "sources",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A file as it stands: its text, its tree (None if it is no YAML), and what is wrong with its form."""

    text: str
    digest: str
    root: Node | None
    faults: tuple[Finding, ...]


def written(desk: Desk, path: Path) -> Written:
    """Read a procedure's file. Raises OSError."""
    data = path.read_bytes()
    notes = Notes(shown(path))
    root = parse(data, notes)
    text = decode(data, Notes(notes.path)) or ""
    return Written(text=text, digest=desk.saving.remember(data), root=root, faults=tuple(notes.findings))


def listing(desk: Desk) -> Json:
    """The procedures that there are, for the choice at the top of the page."""
    loaded = desk.loaded
    workspace = None if loaded is None else loaded.workspace
    titles: dict[Path, tuple[str, str]] = {}
    for one in () if workspace is None else workspace.procedures:
        titles.setdefault(Path(one.path).resolve(), (one.title, one.kind.value))
    rows = [
        {
            "name": name,
            "title": titles.get(path, (name, ""))[0],
            "kind": titles.get(path, ("", ""))[1],
            "usable": path in titles,
        }
        for name, path in sorted(procedure_files(desk.root).items())
    ]
    return {"unit": "" if workspace is None else workspace.unit.name, "procedures": rows, "news": desk.news}


def view(desk: Desk, name: str) -> Json | None:
    """Everything the page shows of one procedure; None if there is no such file."""
    path = procedure_files(desk.root).get(name)
    if path is None:
        return None
    known = desk.known(name)
    loaded, judged = known.loaded, known.judged
    try:
        file = written(desk, path)
    except OSError:
        return None
    rows = outline(file.root)
    undo, redo = desk.saving.steps(name, file.digest)
    found: Json = {
        "name": name,
        "news": known.news,
        "file": shown(path),
        "digest": file.digest,
        "readable": file.root is not None,
        "lines": file.text.split("\n") if file.root is None else [],
        "head": _head(file.root),
        "checking": known.checking or digest_in(known.seen, path) != file.digest,
        "trouble": known.trouble,
        "fresh": judged is not None and judged.digest == file.digest and judged.number == known.done,
        "undo": undo,
        "redo": redo,
        "proposals": _proposals(file, rows),
        "seconds": 0.0 if judged is None else round(judged.seconds, 3),
    }
    here = [*file.faults, *(() if loaded is None else findings_of_input(loaded, path, desk.root))]
    # A rule that could not be read was not looked at: whatever was found, it was no full check.
    found["partial"] = any(finding.unusable for finding in here)
    items = [(finding, told_finding(finding, {})) for finding in dict.fromkeys(here)]
    marks: dict[str, str] = {}
    if judged is not None:
        marks = marks_of(judged.procedures[0].body)
        items += _checked(judged, marks, old=not found["fresh"])
    found["findings"] = _placed(items, rows, shown(path))
    found["rows"] = [_row(row, marks, _changes(judged)) for row in rows]
    found["verdicts"] = [] if judged is None else _verdicts(judged)
    found["shown"] = 0 if judged is None else judged.number
    return found


def _proposals(file: Written, rows: tuple[Row, ...]) -> Json:
    """Pointer of a step -> the words and the action that its import proposed and nobody has taken yet."""
    if file.root is None or MARK not in file.text:
        return {}
    lines = lines_of(file.text, file.root)
    found: Json = {}
    for row in every_row(rows):
        if row.word == "step" and "do" not in dict(row.values):
            told = proposal_in(lines, node_at(file.root, row.path))
            if told is not None:
                found[row.path] = told
    return found


def _head(root: Node | None) -> Json:
    if not isinstance(root, Mapping):
        return {}
    return {key: plain_value(entry.value) for key, entry in root.entries.items() if key in HEAD}


def _checked(judged: Judged, marks: dict[str, str], *, old: bool) -> list[tuple[Finding, Json]]:
    """What the check found. ``old``: in a text that is not there any more, so that its lines say nothing now."""
    found = []
    for at, report in enumerate(judged.reports):
        for number, finding in enumerate(report.findings):
            told = finding.trace is not None and len(finding.trace.around) == 2
            one = told_finding(finding, marks, f"{at}/finding-{number}" if told else "")
            one["set"] = judged.procedures[at].rig if len(judged.reports) > 1 else ""
            found.append((replace(finding, span=None), one | {"old": True, "line": 0}) if old else (finding, one))
    return found


def _placed(items: list[tuple[Finding, Json]], rows: tuple[Row, ...], path: str) -> list[Json]:
    kept: list[Json] = []
    for finding, told in sorted(items, key=_rank):
        one = told | {"at": place_of(finding, rows, path)}
        if one not in kept:
            kept.append(one)
    return kept


def _rank(item: tuple[Finding, Json]) -> tuple[bool, int, int]:
    finding, told = item
    return bool(told["old"]), -finding.severity, finding.span.line if finding.span else 0


def _verdicts(judged: Judged) -> list[Json]:
    several = len(judged.reports) > 1
    return [
        told_verdict(report, marks_of(procedure.body)) | {"set": procedure.rig if several else ""}
        for procedure, report in zip(judged.procedures, judged.reports, strict=True)
    ]


def _changes(judged: Judged | None) -> dict[str, tuple[str, tuple[str, ...]]]:
    """Step of the file -> the step that is drawn for it, and what it changes."""
    if judged is None:
        return {}
    found: dict[str, tuple[str, tuple[str, ...]]] = {}
    for picture in judged.reports[0].pictures:
        found.setdefault(picture.step, (picture.step, picture.changes))
        found.setdefault(picture.step[:4], (picture.step, picture.changes))
    return found


def _row(row: Row, marks: dict[str, str], changes: dict[str, tuple[str, tuple[str, ...]]]) -> Json:
    drawn = changes.get(row.id) if row.word == "step" else None
    mark = marks.get(row.id) or next((marks[name] for name in marks if row.id and name.startswith(row.id)), "")
    return {
        "word": row.word,
        "path": row.path,
        "id": row.id,
        "title": row.title,
        "values": dict(row.values),
        "line": row.first_line,
        "last": row.last_line,
        "lists": list(row.lists),
        "mark": mark,
        "drawn": f"0/{drawn[0]}" if drawn else "",
        "changes": list(drawn[1]) if drawn else [],
        "rows": [_row(inner, marks, changes) for inner in row.rows],
    }


def title_of(desk: Desk, name: str, step: str) -> str:
    """The caption of a step's drawing."""
    judged = desk.judged.get(name)
    if judged is None:
        return ""
    mark = marks_of(judged.procedures[0].body).get(step, "")
    return f"After step {mark}" if mark else "After this step"
