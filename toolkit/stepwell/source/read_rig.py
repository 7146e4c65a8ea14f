"""A whole rig file."""

from __future__ import annotations

from stepwell.model.rig import ATMOSPHERE, Baseline, Part, Rig
from stepwell.source import faults
from stepwell.source.fields import Fields, described, first_span, mapping_of, note_name
from stepwell.source.near import quote
from stepwell.source.nodes import Mapping, Node
from stepwell.source.read_chain import read_chains
from stepwell.source.read_date import read_date
from stepwell.source.read_part import info_of, note_refs, read_part
from stepwell.source.read_settings import CONNECTED, FROM, JOINED, read_settings
from stepwell.source.rig_info import RigInfo
from stepwell.source.scope import Scope
from stepwell.source.sections import RIG

RESERVED = frozenset({ATMOSPHERE, CONNECTED, FROM, JOINED, "any", "all", "not"})


def read_rig(root: Node, scope: Scope) -> tuple[Rig, RigInfo] | None:
    """The rig of a file and what procedures must know of it; None if the file is no mapping."""
    node = mapping_of(root, RIG, scope.notes, what="A rig", example="rig: adult-bedside")
    if node is None:
        return None
    name = node.get("rig")
    fields = Fields(node, RIG, scope.notes, first_span(node)).check()
    parts = _parts(fields, scope)
    scope.rig = getattr(name.value, "text", "") if name is not None else ""
    mapping = fields.mapping("parts")
    infos = {} if mapping is None else {entry.key: info_of(entry, scope) for entry in mapping.entries.values()}
    scope.parts = infos
    if mapping is not None:
        for entry in mapping.entries.values():
            note_refs(entry, scope)
    chains = read_chains(fields, scope, mapping)
    baselines = tuple(_baselines(fields, scope))
    rig = Rig(
        id=fields.named("rig", "the id of a rig"),
        title=fields.text("title"),
        version=fields.version(),
        parts=parts,
        chains=chains,
        baselines=baselines,
        inspected=read_date(fields, "inspected", scope),
        path=scope.notes.path,
        span=None if name is None else name.span,
    )
    names = tuple(base.name for base in baselines) if baselines or not scope.notes.unusable else None
    labels = {part.id: part.label for part in parts}
    whole = None if scope.notes.unusable else rig
    return rig, RigInfo(id=rig.id, parts=infos or None, labels=labels, baselines=names, whole=whole)


def _parts(fields: Fields, scope: Scope) -> tuple[Part, ...]:
    mapping = fields.mapping("parts")
    if mapping is None:
        return ()
    if not mapping.entries:
        scope.notes.add(faults.EMPTY_VALUE, mapping.span, "`parts` has nothing in it.", "Add the parts of the set.")
    found: list[Part] = []
    labels: dict[str, str] = {}
    for entry in mapping.entries.values():
        if entry.key in RESERVED:
            scope.notes.add(
                faults.MALFORMED_ID,
                entry.key_span,
                f"{quote(entry.key)} has a meaning of its own, so no part can be called so.",
                "Choose another id.",
            )
        else:
            note_name(scope.notes, entry.key, entry.key_span, "the id of a part")
        if scope.numbers is not None and entry.key in scope.numbers:
            scope.notes.add(
                faults.DUPLICATE_NAME,
                entry.key_span,
                f"{quote(entry.key)} is also a number of the unit, so `{{{entry.key}}}` in a text could mean either.",
                "Rename one of them.",
            )
        part = read_part(entry, scope)
        if part is None:
            continue
        same = part.label.casefold()
        if same and same in labels:
            scope.notes.add(
                faults.DUPLICATE_NAME,
                entry.key_span,
                f"{quote(entry.key)} has the same label as {quote(labels[same])}: {quote(part.label)}.",
                "Give each a label by which staff can tell them apart.",
            )
        labels.setdefault(same, entry.key)
        found.append(part)
    return tuple(found)


def _baselines(fields: Fields, scope: Scope) -> list[Baseline]:
    mapping = fields.mapping("baselines")
    found: list[Baseline] = []
    for entry in () if mapping is None else mapping.entries.values():
        note_name(scope.notes, entry.key, entry.key_span, "the name of a baseline")
        if not isinstance(entry.value, Mapping):
            scope.notes.add(
                faults.WRONG_TYPE,
                entry.value.span,
                f"The baseline {quote(entry.key)} takes a group of states, but here is {described(entry.value)}.",
                f"Write for example `{entry.key}: {{vent: shut}}`; `{{}}` if every part is at its default.",
            )
            continue
        settings, _ = read_settings(entry.value.entries.values(), scope, may_be_open=False)
        found.append(Baseline(name=entry.key, settings=settings, span=entry.key_span))
    return found
