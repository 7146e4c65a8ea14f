"""A rig's file while it is being written: what can be read of it, and what is wrong with the rest."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from stepwell.circuit.entry import Family
from stepwell.diagnostics.finding import Finding
from stepwell.model.rig import ATMOSPHERE, Baseline, Chain, Rig
from stepwell.source import faults
from stepwell.source.files import SourceFile, belongs, load_file
from stepwell.source.nodes import Mapping
from stepwell.source.notes import EnoughError
from stepwell.source.read_rig import read_rig
from stepwell.source.scope import Scope
from stepwell.source.vocabulary import Vocabulary, built_in


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfRig:
    """``rig`` holds what could be read; None if nothing could. ``gaps`` are names in chains that are no readable part."""

    rig: Rig | None
    findings: tuple[Finding, ...]
    gaps: tuple[str, ...] = ()

    @property
    def whole(self) -> bool:
        """True if the file has no fault, so that the rig is all that it says."""
        return not any(finding.unusable for finding in self.findings)


def read_half_rig(path: Path) -> HalfRig:
    """Read one rig's file on its own. Chains are cut where a part can't be read; states that make no sense are left out."""
    vocabulary = built_in()
    file = load_file(path, "rig", path.resolve().parent)
    if file.root is None or not belongs(file) or _is_procedure(file):
        return HalfRig(rig=None, findings=tuple(file.notes.findings))
    try:
        read = read_rig(file.root, Scope(notes=file.notes, vocabulary=vocabulary))
    except EnoughError:
        read = None
    findings = tuple(sorted(file.notes.findings, key=_by_place))
    if read is None:
        return HalfRig(rig=None, findings=findings)
    rig = read[0]
    if not any(finding.unusable for finding in findings):
        return HalfRig(rig=rig, findings=findings)
    known = {part.id for part in rig.parts}
    gaps = [n for chain in rig.chains for name in chain.parts if (n := name.partition(".")[0]) not in known | {ATMOSPHERE}]
    chains = tuple(piece for chain in rig.chains for piece in _pieces(chain, rig, vocabulary))
    baselines = tuple(_readable(baseline, known) for baseline in rig.baselines)
    return HalfRig(rig=replace(rig, chains=chains, baselines=baselines), findings=findings, gaps=tuple(dict.fromkeys(gaps)))


def _is_procedure(file: SourceFile) -> bool:
    """A procedure names its rig, so that the key `rig` alone does not tell."""
    entry = file.root.get("procedure") if isinstance(file.root, Mapping) else None
    if entry is not None:
        mend = "Name a file of the folder `rigs`."
        file.notes.add(faults.WRONG_FOLDER, entry.key_span, "This file is a procedure, and not a rig.", mend)
    return entry is not None


def _by_place(finding: Finding) -> tuple[int, int]:
    return (finding.span.line, finding.span.column) if finding.span else (0, 0)


def _pieces(chain: Chain, rig: Rig, vocabulary: Vocabulary) -> list[Chain]:
    """The chain, cut at every part that is not there and between two gates; a piece that joins nothing is left out."""
    family = {part.id: vocabulary.kinds_by_name[part.kind].family for part in rig.parts}
    runs: list[list[str]] = [[]]
    for name in chain.parts:
        kind = Family.END if name == ATMOSPHERE else family.get(name.partition(".")[0])
        if kind is None or kind is Family.EQUIPMENT:
            runs.append([])
            continue
        before = runs[-1][-1] if runs[-1] else None
        if before is not None and kind is Family.GATE and family.get(before) is Family.GATE:
            runs.append([])
        runs[-1].append(name)
    found = []
    for run in runs:
        while run and family.get(run[0]) is Family.GATE:
            run = run[1:]
        while run and family.get(run[-1]) is Family.GATE:
            run = run[:-1]
        if len(run) > 1 and any(family.get(name.partition(".")[0]) is Family.SPACE for name in run):
            found.append(replace(chain, parts=tuple(run)))
    return found


def _readable(baseline: Baseline, known: set[str]) -> Baseline:
    kept = tuple(one for one in baseline.settings if one.part in known and _mate(one.word) in known | {""})
    return replace(baseline, settings=kept)


def _mate(word: str) -> str:
    return word.partition(":")[2]
