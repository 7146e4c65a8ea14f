"""From a rig to the numbered layout that settle computes on."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import inf
from typing import Final

from stepwell.circuit.contents import WORDS
from stepwell.circuit.entry import Family
from stepwell.circuit.kinds import part_kind
from stepwell.circuit.layout import (
    BARE,
    FIRST_MATE,
    OPEN,
    OPEN_AIR,
    THROTTLED,
    Bag,
    End,
    Gate,
    Layout,
    Needed,
    Pump,
    Space,
    Variable,
)
from stepwell.model.quantity import Quantity
from stepwell.model.rig import ATMOSPHERE, Chain, Part, Rig
from stepwell.quantities.units import to

DEFAULT_IDLE_RPM: Final = 500
"""The speed meant by the word idle where the rig does not state it (from memory)."""

LARGE_BORE_MM: Final = 5.0
"""Above this bore liquid does not hold in an open end (bubble-rise limit in water, from memory)."""

CONTENTS = dict(WORDS)
_SEVERAL_TAP_WAYS: Final = {"line": frozenset({1, 3}), "air": frozenset({2, 3})}


@dataclass(slots=True)
class _Draft:
    """What has been laid out so far."""

    rig: Rig
    variables: list[Variable] = field(default_factory=list)
    defaults: list[int] = field(default_factory=list)
    spaces: list[Space] = field(default_factory=list)
    gates: list[Gate] = field(default_factory=list)
    ends: list[End] = field(default_factory=list)
    bags: list[Bag] = field(default_factory=list)
    index: dict[tuple[str, str], int] = field(default_factory=dict)
    space_of: dict[str, int] = field(default_factory=dict)

    def add_variable(self, part: Part, name: str, words: tuple[str, ...], default: int) -> int:
        self.index[part.id, name] = len(self.variables)
        self.variables.append(Variable(part=part.id, name=name, words=words))
        self.defaults.append(default)
        return len(self.variables) - 1

    def add_space(self, name: str, space: Space) -> int:
        self.space_of[name] = len(self.spaces)
        self.spaces.append(space)
        return len(self.spaces) - 1


def figure(part: Part, name: str, unit: str) -> float | None:
    """A physical figure of a part in the given unit (``count``: a bare number), or None where the rig does not state it."""
    quantity: Quantity | None = part.figure(name)
    if quantity is None:
        return None
    return float(quantity.value) if unit == "count" else to(quantity, unit)


def volume_of(part: Part) -> float:
    """Volume in mL: as stated, or from bore and length (V = pi d^2 L / 4), or 0 where the rig is silent."""
    stated = figure(part, "volume", "mL")
    if stated is not None:
        return stated
    bore, length = figure(part, "bore", "cm"), figure(part, "length", "cm")
    return 0.0 if bore is None or length is None else 3.141592653589793 * bore * bore * length / 4.0


def compile_rig(rig: Rig) -> Layout:
    """Lay out a rig. The loader has made sure that kinds, references and chains are in order; KeyError if not."""
    draft = _Draft(rig)
    draft.add_space(ATMOSPHERE, Space(name=ATMOSPHERE, part=ATMOSPHERE, kind=ATMOSPHERE, contents=None))
    for part in rig.parts:
        _add_part(draft, part)
    pump_sides: dict[str, tuple[int, int]] = {}
    for chain in rig.chains:
        _add_chain(draft, chain, pump_sides)
    _add_joins(draft)
    return Layout(
        rig=rig,
        variables=tuple(draft.variables),
        defaults=tuple(draft.defaults),
        spaces=tuple(draft.spaces),
        gates=tuple(draft.gates),
        ends=tuple(draft.ends),
        bags=tuple(draft.bags),
        pumps=_pumps(draft, pump_sides),
        clamps=tuple(draft.index[part.id, "gate"] for part in rig.parts if part.kind == "clamp"),
        placed=next((number for (_, name), number in draft.index.items() if name == "drive"), None),
        index=draft.index,
        space_of=draft.space_of,
        labels={part.id: part.label for part in rig.parts} | {ATMOSPHERE: "the open air"},
    )


def _add_part(draft: _Draft, part: Part) -> None:
    kind = part_kind(part.kind)
    if kind is None:
        raise KeyError(part.kind)
    for name, words in kind.variables:
        default = CONTENTS[words[0]] if name == "contents" else 0
        if name == "sort" and "vented" in part.traits:
            default = words.index("vented")
        sources = [other.id for other in draft.rig.parts if name == "source" and other.kind == "gas-source"]
        told = () if name in ("contents", "speed", "mate") else (*words, *sources)
        draft.add_variable(part, name, told, default)
    if "clear-runs" in dict(part.data):
        draft.add_variable(part, "cycles", (), 0)
        draft.add_variable(part, "ran", ("no", "yes"), 0)
    drives = drives_of(draft.rig, part.id)
    if len(drives) > 1:
        draft.add_variable(part, "drive", tuple(drive.id for drive in drives), drives.index(_first_drive(drives)))
    if kind.family is Family.SPACE:
        space = Space(
            name=part.id,
            part=part.id,
            kind=part.kind,
            contents=draft.index[part.id, "contents"],
            height=figure(part, "height", "cm"),
            volume=volume_of(part),
            kept="kept" in part.traits,
            main="main" in part.traits,
            branch=part.kind in ("stub", "tap"),
        )
        number = draft.add_space(part.id, space)
        if part.kind == "bag":
            head = Space(
                name=f"{part.id}.headspace",
                part=part.id,
                kind="headspace",
                contents=None,
                height=space.height,
            )
            headspace = draft.add_space(head.name, head)
            hung = draft.index[part.id, "hung"]
            spilt = draft.add_variable(part, "spilt", ("no", "yes"), 0)
            draft.bags.append(
                Bag(
                    part=part.id,
                    fluid=number,
                    headspace=headspace,
                    hung=hung,
                    height=space.height or 0.0,
                    spilt=spilt,
                )
            )


def _add_chain(draft: _Draft, chain: Chain, pump_sides: dict[str, tuple[int, int]]) -> None:
    """Walk a chain: gates between two spaces act in series; an end belongs to the space beside it."""
    kinds = {part.id: part for part in draft.rig.parts}
    here: int | None = None
    waiting: list[Part] = []
    lone_end: Part | None = None
    for name in chain.parts:
        part = kinds.get(name.partition(".")[0])
        if name != ATMOSPHERE and part is None:
            raise KeyError(name)
        if part is not None and part.kind == "end":
            if here is None:
                lone_end = part
            else:
                _add_end(draft, part, here)
            continue
        if part is not None and name not in draft.space_of:
            waiting.append(part)
            continue
        there = OPEN_AIR if part is None else draft.space_of[name]
        if lone_end is not None:
            _add_end(draft, lone_end, there)
            lone_end = None
        if here is not None:
            _add_gate(draft, here, there, waiting)
            _note_pump(draft, here, there, pump_sides)
        here, waiting = there, []


def _add_end(draft: _Draft, part: Part, space: int) -> None:
    bore = figure(part, "bore", "mm")
    draft.ends.append(
        End(
            part=part.id,
            space=space,
            mate=draft.index[part.id, "mate"],
            brim=draft.add_variable(part, "brim", ("no", "yes"), 0),
            role=part.word("role") or "none",
            fits=part.word("fits") or "",
            large=bore is None or bore > LARGE_BORE_MM,
        )
    )


def _add_gate(draft: _Draft, here: int, there: int, between: list[Part]) -> None:
    needs: list[Needed] = []
    for part in between:
        match part.kind:
            case "clamp":
                needs.append(Needed(variable=draft.index[part.id, "gate"], values=frozenset({OPEN, THROTTLED})))
            case "cap":
                needs.append(Needed(variable=draft.index[part.id, "gate"], values=frozenset({1})))
            case "vent":
                needs.append(Needed(variable=draft.index[part.id, "gate"], values=frozenset({1})))
            case _:
                pass
    # A tap's way to the part before it in the chain is its line way, to what follows its air way.
    for space, way in ((there, "line"), (here, "air")):
        if draft.spaces[space].kind == "tap":
            position = draft.index[draft.spaces[space].part, "position"]
            needs.append(Needed(variable=position, values=_SEVERAL_TAP_WAYS[way]))
    kinds = {part.kind for part in between}
    narrow = kinds & {"cap", "vent"} or {draft.spaces[here].kind, draft.spaces[there].kind} & {"tap", "stub"}
    if "check-valve" in kinds:
        # What passes a check valve into a bag falls into its headspace; it can't come back as fluid.
        there = next((bag.headspace for bag in draft.bags if bag.fluid == there), there)
    head = next((s for s in (here, there) if draft.spaces[s].kind == "pump-head"), None)
    gate = Gate(
        a=here,
        b=there,
        parts=tuple(part.id for part in between),
        needs=tuple(needs),
        gas_only="vent" in kinds,
        one_way="check-valve" in kinds,
        pump=head,
        large=not narrow,
    )
    draft.gates.append(gate)
    if "cap" in kinds:
        draft.gates.append(replace(gate, needs=_through_vented_caps(draft, between, gate.needs), gas_only=True))


def _through_vented_caps(draft: _Draft, between: list[Part], needs: tuple[Needed, ...]) -> tuple[Needed, ...]:
    """What lets gas, and gas only, pass: every cap between is on and of the vented sort."""
    caps = [part for part in between if part.kind == "cap"]
    gates = {draft.index[cap.id, "gate"] for cap in caps}
    kept = [need for need in needs if need.variable not in gates]
    kept += [Needed(variable=gate, values=frozenset({0})) for gate in sorted(gates)]
    kept += [Needed(variable=draft.index[cap.id, "sort"], values=frozenset({1})) for cap in caps]
    return tuple(kept)


def _note_pump(draft: _Draft, here: int, there: int, sides: dict[str, tuple[int, int]]) -> None:
    if draft.spaces[there].kind == "pump-head":
        sides[draft.spaces[there].part] = (here, sides.get(draft.spaces[there].part, (0, 0))[1])
    if draft.spaces[here].kind == "pump-head":
        sides[draft.spaces[here].part] = (sides.get(draft.spaces[here].part, (0, 0))[0], there)


def _add_joins(draft: _Draft) -> None:
    """An edge for every pair of ends that fit each other, and one to the open air for every end."""
    for number, end in enumerate(draft.ends):
        bare = Needed(variable=end.mate, values=frozenset({BARE}))
        draft.gates.append(Gate(a=end.space, b=OPEN_AIR, parts=(end.part,), needs=(bare,), large=end.large))
        for other_number in range(number + 1, len(draft.ends)):
            other = draft.ends[other_number]
            if end.fits == other.fits and end.space != other.space:
                joined = Needed(variable=end.mate, values=frozenset({FIRST_MATE + other_number}))
                draft.gates.append(
                    Gate(
                        a=end.space,
                        b=other.space,
                        parts=(end.part, other.part),
                        needs=(joined,),
                        large=end.large,
                    )
                )


def drives_of(rig: Rig, head: str) -> tuple[Part, ...]:
    """The drives that may turn a pump head, in the order of the rig."""
    return tuple(part for part in rig.parts if part.kind == "drive" and part.ref("head")[:1] == (head,))


def _first_drive(drives: tuple[Part, ...]) -> Part:
    """The drive that the head sits on at a start: the first that is no back-up."""
    return next((drive for drive in drives if not {"hand", "back-up"} & set(drive.traits)), drives[0])


def _pumps(draft: _Draft, sides: dict[str, tuple[int, int]]) -> tuple[Pump, ...]:
    drives = [part for part in draft.rig.parts if part.kind == "drive"]
    if not drives:
        return ()
    head = _first_drive(tuple(drives)).ref("head")[0]
    inlet, outlet = sides[head]
    pumps: list[Pump] = []
    for drive in drives_of(draft.rig, head):
        lift, soft, idle = (figure(drive, name, "rpm") for name in ("lift-speed", "soft-speed", "idle-speed"))
        gentle = soft if soft is not None else idle
        pumps.append(
            Pump(
                head=draft.space_of[head],
                drive=drive.id,
                speed=draft.index[drive.id, "speed"],
                seated=draft.index[head, "seat"],
                inlet=inlet,
                outlet=outlet,
                lift_speed=inf if lift is None else lift,
                soft_speed=DEFAULT_IDLE_RPM if gentle is None else gentle,
                hand="hand" in drive.traits,
            )
        )
    return tuple(pumps)
