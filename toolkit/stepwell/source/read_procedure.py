"""A whole procedure file."""

from __future__ import annotations

from stepwell.model.procedure import Kind, KitItem, Procedure, Use
from stepwell.source import faults
from stepwell.source.fields import Fields, first_span, mapping_of
from stepwell.source.meetings import note_meetings
from stepwell.source.near import did_you_mean, listed, quote
from stepwell.source.nodes import Listing, Mapping, Node
from stepwell.source.order_of_steps import note_circles
from stepwell.source.read_items import read_body
from stepwell.source.read_predicate import read_predicate
from stepwell.source.read_settings import read_starts
from stepwell.source.read_text import read_text, scalar_text, words_at
from stepwell.source.rig_info import RigInfo, note_other_rig, owners
from stepwell.source.scope import Scope
from stepwell.source.sections import KIT_ITEM, PROCEDURE
from stepwell.source.step_uses import note_uses, with_uses

KINDS = tuple(kind.value for kind in Kind)
USES = tuple(use.value for use in Use)


def read_procedure(root: Node, scope: Scope, rigs: dict[str, RigInfo] | None) -> Procedure | None:
    """The procedure of a file. Read what is there even if ``scope.notes`` fills up; None if it is no mapping.

    ``rigs`` None: the rigs could not be read, so nothing is said about parts.
    """
    node = mapping_of(root, PROCEDURE, scope.notes, what="A procedure", example="procedure: prime-adult")
    if node is None:
        return None
    fields = Fields(node, PROCEDURE, scope.notes, first_span(node))
    name = node.get("procedure")
    scope.notes.procedure = getattr(name.value, "text", None) if name is not None else None
    fields.check()
    scope.everywhere = None if rigs is None else owners(rigs)
    rig = _rig(fields, scope, rigs)
    people = _people(fields, scope)
    body = read_body(fields.listing("body", empty=False), scope)
    note_uses(scope)
    body = with_uses(body, scope)
    _note_counting(scope)
    note_circles(body, scope, meetings=note_meetings(body, scope))
    starts = fields.entry("starts")
    ends = fields.entry("ends")
    found = Procedure(
        id=fields.named("procedure", "the id of a procedure"),
        title=fields.text("title"),
        version=fields.version(),
        kind=Kind(fields.word("kind", KINDS, Kind.ROUTINE.value)),
        rig=rig,
        use=Use(fields.word("use", USES, Use.READ_AND_DO.value)),
        use_when=words_at(fields, "use-when", scope),
        do_not_use_when=words_at(fields, "do-not-use-when", scope),
        people=people,
        fewest_people=fields.whole("fewest-people", 1, 1, max(len(people), 1)),
        kit=tuple(item for entry in fields.listing("kit") if (item := _kit(entry, scope, rigs)) is not None),
        starts=None if starts is None else read_starts(starts, scope),
        ends=tuple(read_predicate(item, scope) for item in fields.one_or_more("ends")),
        cautions=tuple(
            read_text(item, scope, "A caution", "Do not run the pump dry.") for item in fields.listing("cautions")
        ),
        sources=_texts(fields, "sources", scope),
        done_call=words_at(fields, "done-call", scope),
        body=body,
        hands_over=fields.flag("hands-over"),
        path=scope.notes.path,
        span=None if name is None else name.span,
        ends_span=None if ends is None else ends.span,
    )
    note_other_rig(fields, scope, rigs or {})
    return found


def _rig(fields: Fields, scope: Scope, rigs: dict[str, RigInfo] | None) -> str:
    node = fields.scalar("rig")
    if node is None or rigs is None:
        return "" if node is None else node.text
    info = rigs.get(node.text)
    if info is None:
        mend = did_you_mean(node.text, rigs, what="There are") or "Add a file to the folder `rigs`."
        scope.notes.add(faults.UNKNOWN_RIG, node.span, f"There is no rig {quote(node.text)}.", mend)
        return node.text
    scope.rig, scope.parts, scope.baselines, scope.whole = info.id, info.parts, info.baselines, info.whole
    return node.text


def _people(fields: Fields, scope: Scope) -> tuple[str, ...]:
    found: list[str] = []
    for item in fields.listing("people", empty=False):
        node = scalar_text(item, scope, "A role", "people: [primer, assistant]")
        if node is None:
            continue
        if node.text in found:
            scope.notes.add(faults.DUPLICATE_NAME, node.span, f"{quote(node.text)} is listed twice.", "Delete one.")
        found.append(scope.role(node))
    entry = fields.entry("people")
    if entry is not None and isinstance(entry.value, Listing):
        scope.people = tuple(found)
    return tuple(found)


def _texts(fields: Fields, key: str, scope: Scope) -> tuple[str, ...]:
    nodes = (scalar_text(item, scope, "A text", f"{key}: [Common practice.]") for item in fields.listing(key))
    return tuple(node.text.strip() for node in nodes if node is not None)


def _kit(node: Node, scope: Scope, rigs: dict[str, RigInfo] | None) -> KitItem | None:
    example = '{name: sterile towel, amount: "2"}'
    found = mapping_of(node, KIT_ITEM, scope.notes, what="A kit item", example=example)
    if found is None:
        return None
    fields = Fields(found, KIT_ITEM, scope.notes, first_span(found)).check()
    has = [key for key in ("name", "part") if fields.has(key)]
    if not has:
        scope.notes.add(
            faults.MISSING_KEY, first_span(found), "The kit item has neither `name` nor `part`.", f"Write `{example}`."
        )
    elif len(has) == 2:
        scope.notes.add(
            faults.MIXED_ITEM,
            found.entries["name"].key_span,
            f"A kit item is a thing or a part of the rig, but here are {listed(has)}.",
            "Keep one; a part brings its label with it.",
        )
    part = fields.scalar("part")
    name = fields.text("name")
    if part is not None:
        scope.known_part(part)
        labels = rigs[scope.rig].labels if rigs is not None and scope.rig in rigs else {}
        name = labels.get(part.text, part.text)
    return KitItem(name=name, amount=_amount(fields, found), part=None if part is None else part.text)


def _amount(fields: Fields, node: Mapping) -> str:
    entry = node.get("amount")
    value = getattr(entry.value, "value", None) if entry is not None else None
    if isinstance(value, int) and not isinstance(value, bool) and value > 0:
        return str(value)
    return fields.text("amount", "1")


def _note_counting(scope: Scope) -> None:
    """Ids such as ``s001``, ``s002`` ... count the steps, so they would have to change with the order."""
    ids = list(scope.bases)
    if len(ids) < 3 or len({step_id[:1] for step_id in ids}) != 1:
        return
    digits = [step_id[1:] for step_id in ids]
    if all(text.isdigit() and int(text) == place for place, text in enumerate(digits, 1)):
        scope.notes.add(
            faults.POSITIONAL_ID,
            scope.bases[ids[0]],
            f"The ids {listed(ids[:3])} count the steps; they would have to change when one is put in between.",
            "Use ids that say nothing, such as `k7f3`.",
        )
