"""A unit's folder, read: every problem of every file at once, and a workspace of what could be read."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import ParamSpec, TypeVar

from stepwell.diagnostics.finding import Finding, Related
from stepwell.diagnostics.span import Span
from stepwell.model.accepted import Accepted
from stepwell.model.procedure import Procedure
from stepwell.model.quantity import Quantity
from stepwell.model.rig import Rig
from stepwell.model.rule import Rule
from stepwell.model.unit import Unit
from stepwell.model.waiver import Waiver
from stepwell.model.workspace import Workspace
from stepwell.resources import package_dir
from stepwell.source import accepted_file, faults
from stepwell.source.accepted_file import read_accepted
from stepwell.source.faults import Fault
from stepwell.source.files import FOLDERS, SourceFile, belongs, files_of, load_file, shown
from stepwell.source.near import quote
from stepwell.source.nodes import Mapping, Node
from stepwell.source.notes import EnoughError, Notes
from stepwell.source.read_procedure import read_procedure
from stepwell.source.read_review import note_lost_cards
from stepwell.source.read_rig import read_rig
from stepwell.source.read_rule import read_rule
from stepwell.source.read_unit import names_of, read_unit, with_terms
from stepwell.source.read_waiver import read_waiver
from stepwell.source.rig_info import RigInfo
from stepwell.source.scope import PartInfo, Scope
from stepwell.source.several_rigs import for_rig, merge, readings, rigs_named, variant
from stepwell.source.translations import read_translations
from stepwell.source.vocabulary import Vocabulary, built_in

_P = ParamSpec("_P")
_T = TypeVar("_T")


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded:
    """``workspace`` holds what could be read without a fault; None if there is no usable unit.yaml.

    ``failed`` are the ids of procedures (or the names of their files) that are left out of it.
    """

    workspace: Workspace | None
    findings: tuple[Finding, ...]
    failed: tuple[str, ...] = ()


@dataclass(slots=True)
class _Shelf:
    """Everything that has been opened."""

    root: Path
    vocabulary: Vocabulary
    notes: list[Notes] = field(default_factory=list)
    unit: Unit | None = None
    unit_fine: bool = False
    unit_notes: Notes | None = None
    roles: tuple[str, ...] | None = None
    numbers: dict[str, Quantity] | None = None
    rigs: dict[str, RigInfo] = field(default_factory=dict)
    good_rigs: dict[str, Rig] = field(default_factory=dict)
    rigs_known: bool = True
    variants: dict[str, tuple[str, ...]] = field(default_factory=dict)
    waiver_files: list[SourceFile] = field(default_factory=list)

    def scope(self, notes: Notes, procedures: frozenset[str] | None = None) -> Scope:
        return Scope(
            notes=notes,
            vocabulary=self.vocabulary,
            roles=self.roles,
            numbers=self.numbers,
            procedures=procedures,
            variants=self.variants,
        )

    def folder(self, name: str) -> list[SourceFile]:
        found, odd = files_of(self.root / name, FOLDERS[name], self.root)
        self.notes.extend(odd)
        self.notes.extend(file.notes for file in found)
        return found


def load_workspace(root: Path, *, catalogue: Path | None = None, vocabulary: Vocabulary | None = None) -> Loaded:
    """Read the unit's folder ``root``. Never raises for what the files contain.

    ``catalogue`` is the folder of built-in rules (default: the tool's own), ``vocabulary`` the words that files may use.
    """
    shelf = _Shelf(root=root.resolve(), vocabulary=vocabulary or built_in())
    _unit(shelf)
    _rigs(shelf)
    rules = _rules(shelf, package_dir("rules/catalogue") if catalogue is None else catalogue)
    procedures, failed = _procedures(shelf)
    waivers = _waivers(shelf, rules, procedures, failed)
    workspace = None
    if shelf.unit is not None and shelf.unit_fine:
        workspace = Workspace(
            unit=shelf.unit,
            rigs=tuple(shelf.good_rigs.values()),
            rules=tuple(rules),
            procedures=tuple(procedures),
            root=shown(shelf.root),
            waivers=tuple(waivers),
        )
        whole = not failed and len(shelf.good_rigs) == len(shelf.rigs) and shelf.rigs_known
        translations, noted = read_translations(shelf.root, workspace, whole=whole)
        workspace = replace(workspace, translations=translations, accepted=_accepted(shelf))
        shelf.notes.extend(noted)
    findings = tuple(finding for notes in shelf.notes for finding in sorted(notes.findings, key=_by_place))
    return Loaded(workspace=workspace, findings=findings, failed=tuple(failed))


def _by_place(finding: Finding) -> tuple[int, int]:
    return (finding.span.line, finding.span.column) if finding.span else (0, 0)


def _unless_enough(read: Callable[_P, _T | None], *args: _P.args, **more: _P.kwargs) -> _T | None:
    """What the reader returns, or None if it stopped because the file has too many faults."""
    try:
        return read(*args, **more)
    except EnoughError:
        return None


def _unit(shelf: _Shelf) -> None:
    path = shelf.root / "unit.yaml"
    if not path.exists() and not path.is_symlink():
        notes = Notes(shown(path))
        shelf.notes.append(notes)
        notes.add(
            faults.UNIT_FILE_MISSING,
            notes.top(),
            f"{quote(shown(shelf.root))} has no unit.yaml, so it is not a unit's folder.",
            "Name the folder in which unit.yaml lies, or lay one out with `stepwell new`.",
        )
        return
    file = load_file(path, "unit", shelf.root)
    shelf.notes.append(file.notes)
    if file.root is None:
        return
    unit = _unless_enough(read_unit, file.root, shelf.scope(file.notes))
    if unit is None:
        return
    shelf.unit_fine = not file.notes.unusable
    if isinstance(file.root, Mapping) and "roles" in file.root.entries:
        shelf.roles = names_of(file.root, "roles") or None
    known = {number.name: number.value for number in unit.numbers}
    # A number that could not be read is not known, but it is there: nothing is said about its uses.
    if set(names_of(file.root, "numbers")) == set(known):
        shelf.numbers = known
    shelf.unit = unit
    shelf.unit_notes = file.notes
    terms = shelf.root / "terms.yaml"
    if terms.exists() or terms.is_symlink():
        words = load_file(terms, "terms", shelf.root)
        shelf.notes.append(words.notes)
        if words.root is not None:
            shelf.unit = _unless_enough(with_terms, unit, words.root, shelf.scope(words.notes)) or unit


def _accepted(shelf: _Shelf) -> tuple[Accepted, ...]:
    path = shelf.root / accepted_file.FILE
    if not (path.exists() or path.is_symlink()):
        return ()
    file = load_file(path, "accepted", shelf.root)
    shelf.notes.append(file.notes)
    return () if file.root is None else _unless_enough(read_accepted, file.root, shelf.scope(file.notes)) or ()


def _rigs(shelf: _Shelf) -> None:
    places: dict[str, Span] = {}
    for file in shelf.folder("rigs"):
        if file.root is None or not belongs(file):
            shelf.rigs_known = False
            continue
        read = _unless_enough(read_rig, file.root, shelf.scope(file.notes))
        if read is None or not read[0].id:
            shelf.rigs_known = False
            continue
        rig, info = read
        if _twice(places, rig.id, rig.span, file.notes, "rig"):
            continue
        shelf.rigs[rig.id] = info
        if not file.notes.unusable:
            shelf.good_rigs[rig.id] = rig


def _rules(shelf: _Shelf, catalogue: Path) -> list[Rule]:
    places: dict[str, Span] = {}
    codes: dict[str, Span] = {}
    own_files, odd = files_of(catalogue, "rule", catalogue.resolve())
    shelf.notes.extend(odd)
    shelf.notes.extend(file.notes for file in own_files)
    for fault in faults.FAULTS:
        places[fault.name] = codes[fault.code] = Span(path="", line=0, column=0, end_line=0, end_column=0)
    built = _read_rules(shelf, own_files, {}, places, codes, built_in=True)
    everywhere = _parts_everywhere(shelf.rigs.values()) if shelf.rigs_known else None
    own = _read_rules(shelf, shelf.folder("rules"), everywhere, places, codes, built_in=False)
    return [*sorted(built, key=lambda rule: rule.code), *sorted(own, key=lambda rule: rule.code)]


def _read_rules(
    shelf: _Shelf,
    files: list[SourceFile],
    parts: dict[str, PartInfo] | None,
    places: dict[str, Span],
    codes: dict[str, Span],
    *,
    built_in: bool,
) -> list[Rule]:
    found = []
    for file in files:
        if file.root is None or not belongs(file):
            continue
        if not built_in and isinstance(file.root, Mapping) and "waiver" in file.root.entries:
            # What it waives may be read later.
            shelf.waiver_files.append(file)
            continue
        scope = shelf.scope(file.notes)
        scope.parts = parts
        rule = _unless_enough(partial(read_rule, built_in=built_in), file.root, scope)
        if rule is None:
            continue
        same_name = _twice(places, rule.name, rule.span, file.notes, "rule")
        code = file.root.get("code") if isinstance(file.root, Mapping) else None
        reserved = not built_in and rule.code.startswith("SW")
        same_code = not reserved and _twice(
            codes, rule.code, code.value.span if code else rule.span, file.notes, "code of a rule"
        )
        if not (same_name or same_code or file.notes.unusable):
            found.append(rule)
    return found


def _waivers(shelf: _Shelf, rules: list[Rule], procedures: list[Procedure], failed: list[str]) -> list[Waiver]:
    by_name, cards = {rule.name: rule for rule in rules}, {procedure.id: procedure for procedure in procedures}
    known = frozenset((*cards, *failed))
    places: dict[str, Span] = {}
    found = []
    for file in shelf.waiver_files:
        if file.root is None:
            continue
        waiver = _unless_enough(read_waiver, file.root, shelf.scope(file.notes, known), by_name, cards, failed)
        if waiver is None:
            continue
        about = " at ".join(filter(None, (f"{waiver.rule} in {waiver.procedure}", waiver.step, waiver.slip)))
        if not (_twice(places, about, waiver.span, file.notes, "waiver of") or file.notes.unusable):
            found.append(waiver)
    return found


def _parts_everywhere(rigs: Iterable[RigInfo]) -> dict[str, PartInfo]:
    """The parts of every rig; the kind is unknown where two rigs differ on it."""
    found: dict[str, PartInfo] = {}
    for rig in rigs:
        for part in (rig.parts or {}).values():
            other = found.get(part.id)
            same = other is None or other.kind == part.kind
            found[part.id] = part if same else PartInfo(id=part.id, kind=None)
    return found


def _procedures(shelf: _Shelf) -> tuple[list[Procedure], list[str]]:
    files = shelf.folder("procedures")
    # The stem stands in where a file is too broken to say its id, so that cards leading to it are not blamed.
    names = {file.name() or file.path.stem: rigs_named(file.root) for file in files}
    shelf.variants = {name: rigs for name, rigs in names.items() if rigs}
    known = frozenset(one for name, rigs in names.items() for one in ([variant(name, rig) for rig in rigs] or [name]))
    if shelf.unit is not None and shelf.unit_notes is not None:
        note_lost_cards(shelf.unit.places, shelf.scope(shelf.unit_notes, known))
    places: dict[str, Span] = {}
    found: list[Procedure] = []
    failed: list[str] = []
    for file in files:
        read = _read_procedure(shelf, file, known) if file.root is not None and belongs(file) else []
        twice = bool(read) and _twice(places, read[0].id, read[0].span, file.notes, "procedure")
        if len(read) > 1 and not twice:
            read = [for_rig(one, shelf.good_rigs[one.rig].title) for one in read if one.rig in shelf.good_rigs]
            twice = any(_twice(places, one.id, one.span, file.notes, "procedure") for one in read)
        usable = read and not twice and not file.notes.unusable and all(one.rig in shelf.good_rigs for one in read)
        if usable:
            found.extend(read)
        else:
            failed.append(file.name() or file.path.stem)
    return _without_lost_starts(found, failed), failed


def _read_procedure(shelf: _Shelf, file: SourceFile, known: frozenset[str]) -> list[Procedure]:
    """The procedure of a file, once for each of its rigs."""
    found: list[Procedure] = []
    read: list[tuple[str, Notes]] = []
    for root in _unless_enough(readings, file.root, file.notes) or () if file.root is not None else ():
        notes = Notes(file.notes.path)
        procedure = _unless_enough(read_procedure, root, shelf.scope(notes, known), _if_known(shelf, root))
        read.append((procedure.rig if procedure is not None else "", notes))
        found.extend([] if procedure is None else [procedure])
    merge(file.notes, read)
    return found


def _if_known(shelf: _Shelf, root: Node) -> dict[str, RigInfo] | None:
    """The rigs, unless this procedure's rig is not among them and may be in a file that could not be read."""
    entry = root.get("rig") if isinstance(root, Mapping) else None
    found = entry is not None and getattr(entry.value, "text", "") in shelf.rigs
    return shelf.rigs if shelf.rigs_known or found else None


def _without_lost_starts(found: list[Procedure], failed: list[str]) -> list[Procedure]:
    """Leave out, too, what starts from the end of a procedure that is left out."""
    while True:
        here = {procedure.id for procedure in found}
        lost = [p for p in found if p.starts is not None and p.starts.procedure and p.starts.procedure not in here]
        if not lost:
            return found
        failed.extend(procedure.id for procedure in lost)
        found = [procedure for procedure in found if procedure not in lost]


def _twice(places: dict[str, Span], name: str, span: Span | None, notes: Notes, what: str) -> bool:
    """Note a name that another file has already; True if so."""
    if not name or span is None:
        return False
    first = places.setdefault(name, span)
    if first is span:
        return False
    related = (Related(message=f"the other {what}", span=first),) if first.line else ()
    where = f"in {first.path}, line {first.line}" if first.line else "in the tool itself"
    fault: Fault = faults.DUPLICATE_NAME
    notes.add(
        fault,
        span,
        f"There is already a {what} {quote(name)}, {where}.",
        "Give this one a name of its own; names are never used again for another thing.",
        related=related,
    )
    return True
