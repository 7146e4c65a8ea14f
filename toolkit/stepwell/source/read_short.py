"""Short forms of actions, written out: ``bleed``, ``circulate``, ``ensure-open`` and ``ensure-shut``."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from stepwell.diagnostics.span import Span
from stepwell.model.procedure import Action, Via
from stepwell.model.quantity import Quantity
from stepwell.model.rig import Part
from stepwell.source import faults
from stepwell.source.fields import Fields, described, mapping_of
from stepwell.source.near import listed, quote
from stepwell.source.near_parts import branches
from stepwell.source.nodes import Listing, Mapping, Node, Scalar
from stepwell.source.read_quantity import positive, read_quantity
from stepwell.source.scope import Scope
from stepwell.source.short_forms import BLEED, CIRCULATE, ENSURES
from stepwell.source.short_sections import SPELL

_BY_HAND = frozenset({"hand", "back-up"})
"""Traits of a drive that nobody means who says "the pump"."""


def written_out(action: Action, scope: Scope) -> tuple[Action, ...]:
    """The long form of an action whose verb is a short form; any other action as it is."""
    if action.verb in ENSURES:
        return (replace(action, verb=ENSURES[action.verb], options=(*action.options, ("ensure", True))),)
    return _bleed(action, scope) if action.verb == BLEED.name else (action,)


def _bleed(action: Action, scope: Scope) -> tuple[Action, ...]:
    (part,) = action.parts
    time = action.option("for")
    if scope.whole is None or scope.whole.part(part) is None or time is None:
        return ()
    found = branches(scope.whole, part, scope.vocabulary.kinds_by_name)
    if len(found) != 1:
        many = f"The branch of {quote(part)} leads to more than one cap"
        scope.notes.add(
            faults.NO_CAP_ON_BRANCH,
            action.span,
            f"{many if found else f'No chain leads from {quote(part)} through a cap to the air'}, "
            f"so it is not known how it is bled.",
            "Write the actions out, such as `[{uncap: pre-cap}, {turn: pre-tap, to: all}, {wait: 20 s}]`."
            if found
            else f"Give the branch a cap in the rig, for example `[..., {part}, cap-of-it, air]`, or write the actions out.",
        )
        return ()
    (branch,) = found
    via = action.via or Via(name=BLEED.name)
    via = replace(via, name=BLEED.name, verbs=BLEED.words, parts=via.parts or (part,))
    base = Action(verb="", via=via, span=action.span)
    taps = {name for name in branch.inward if (found_part := scope.whole.part(name)) and found_part.kind == "tap"}

    def move(name: str, verb: str, to: str) -> Action:
        if name in taps:
            return replace(base, verb="turn", parts=(name,), options=(("to", to),))
        return replace(base, verb=verb, parts=(name,))

    return (
        replace(base, verb="uncap", parts=(branch.cap,)),
        *(move(name, "open", "all") for name in branch.inward),
        replace(base, verb="wait", options=(("for", time),)),
        *(move(name, "shut", "off") for name in reversed(branch.inward)),
        replace(base, verb="cap", parts=(branch.cap,)),
    )


def read_circulate(node: Mapping, scope: Scope) -> tuple[Action, ...]:
    """The runs and stops of a ``circulate``."""
    entry = node.entries[CIRCULATE]
    for other in node.entries.values():
        if other.key not in (CIRCULATE, "drive"):
            scope.notes.add(
                faults.UNKNOWN_KEY,
                other.key_span,
                f"{quote(other.key)} means nothing with {quote(CIRCULATE)}.",
                "It can have `drive`; times and speeds stand in its spells.",
            )
    drive = _drive(node, entry.key_span, scope)
    if not isinstance(entry.value, Listing):
        scope.notes.add(
            faults.WRONG_TYPE,
            entry.value.span,
            f"{quote(CIRCULATE)} takes a list of spells, but here is {described(entry.value)}.",
            "Write for example `circulate: [{rpm: 2800, for: 90 s}, {stop: 10 s}]`.",
        )
        return ()
    if not entry.value.items:
        scope.notes.add(faults.EMPTY_VALUE, entry.value.span, f"{quote(CIRCULATE)} has no spell in it.", "Add one.")
    spells = [_spell(item, scope) for item in entry.value.items]
    if drive is None:
        return ()
    via = Via(name=CIRCULATE, verbs=("circulate", "run", "pulse"), parts=(drive,))
    return tuple(replace(spell, parts=(drive,), via=via) for spell in spells if spell is not None)


def _spell(node: Node, scope: Scope) -> Action | None:
    example = "{rpm: 2800, for: 90 s}"
    found = mapping_of(node, SPELL, scope.notes, what="A spell", example=example)
    if found is None:
        return None
    handle = next((entry.key_span for entry in found.entries.values()), found.span)
    fields = Fields(found, SPELL, scope.notes, handle).check()
    rpm, time, stop = (fields.entry(key) for key in ("rpm", "for", "stop"))
    if stop is not None and (rpm or time):
        second = next(entry.key_span for entry in found.entries.values() if entry.key != next(iter(found.entries)))
        scope.notes.add(
            faults.MIXED_ITEM,
            second,
            f"In one spell the pump runs or stands still, but here are {listed(found.entries)}.",
            "Write two, such as `{rpm: 2800, for: 90 s}, {stop: 10 s}`.",
        )
        return None
    if stop is not None:
        length = _length(stop.value, "`stop`", scope)
        return None if length is None else Action(verb="stop", options=(("for", length),), span=node.span)
    for key, entry in (("rpm", rpm), ("for", time)):
        if entry is None:
            scope.notes.add(
                faults.MISSING_KEY,
                handle,
                f"The spell has no {quote(key)}.",
                f"Write for example `{example}`, or `{{stop: 10 s}}`.",
            )
    if rpm is None or time is None:
        return None
    speed, length = _speed(rpm.value, scope), _length(time.value, "`for`", scope)
    if speed is None or length is None:
        return None
    return Action(verb="run", options=(("at", speed), ("for", length)), span=node.span)


def _length(node: Node, what: str, scope: Scope) -> Quantity | None:
    return positive(read_quantity(node, "time", scope, what, named=True), node, scope, what)


def _speed(node: Node, scope: Scope) -> Quantity | None:
    # The key says the unit, so a bare number is no slip here.
    bare = isinstance(node, Scalar) and isinstance(node.value, int) and not isinstance(node.value, bool)
    if bare and isinstance(node, Scalar) and isinstance(node.value, int):
        return positive(Quantity(Decimal(node.value), "rpm"), node, scope, "`rpm`")
    return positive(read_quantity(node, "speed", scope, "`rpm`", named=True), node, scope, "`rpm`")


def _drive(node: Mapping, handle: Span, scope: Scope) -> str | None:
    named = node.get("drive")
    if named is not None:
        if not isinstance(named.value, Scalar) or not isinstance(named.value.value, str) or not named.value.text:
            scope.notes.add(
                faults.WRONG_TYPE,
                named.value.span,
                f"`drive` takes the name of a part, but here is {described(named.value)}.",
                "Write for example `drive: pump`.",
            )
            return None
        info = scope.known_part(named.value)
        scope.kind_fits(info, ("drive",), named.value.span, "`circulate` runs")
        return None if info is None else info.id
    if scope.whole is None:
        return None
    drives = [part for part in scope.whole.parts if part.kind == "drive"]
    meant = [part for part in drives if not _BY_HAND & set(part.traits)] if len(drives) > 1 else drives
    if len(meant) == 1:
        return meant[0].id
    _note_drives(drives, handle, scope)
    return None


def _note_drives(drives: list[Part], handle: Span, scope: Scope) -> None:
    if drives:
        message = f"The rig has several drives ({listed(part.id for part in drives)}), so it is not known which one runs."
        mend = f"Add for example `drive: {drives[0].id}`."
    else:
        message, mend = "The rig has no drive, so nothing can circulate.", "Add the drive to the parts of the rig."
    scope.notes.add(faults.WHICH_DRIVE, handle, message, mend)
