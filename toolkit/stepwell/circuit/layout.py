"""A rig compiled for computing: state variables, spaces, gates and ends, all by number.

A state of the circuit is a tuple of ints, one per variable: the index of its word, except for ``contents`` (a bit mask,
see ``contents``), ``speed`` (rpm), ``cycles`` (a count) and ``mate`` (0 covered, 1 bare, 2 + n joined to end n).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from stepwell.model.rig import Rig

State = tuple[int, ...]

OPEN_AIR = 0
"""The number of the atmosphere among the spaces."""

COVERED, BARE, FIRST_MATE = 0, 1, 2
OPEN, SHUT, THROTTLED = 0, 1, 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Variable:
    """One thing about one part that can change. ``words`` are the values' names; empty where the value is a number."""

    part: str
    name: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Space:
    """A node of the circuit's graph. ``height`` in cm above the floor, ``volume`` in mL; None where the rig is silent.

    ``contents`` is the variable that holds its contents, None for the atmosphere, headspaces and vessels' far side.
    ``branch`` spaces are small side branches: flow through an opening at their end rinses them with what comes in.
    """

    name: str
    part: str
    kind: str
    contents: int | None
    height: float | None = None
    volume: float = 0.0
    kept: bool = False
    main: bool = False
    branch: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Needed:
    """A gate is open only if the variable has one of these values."""

    variable: int
    values: frozenset[int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """An edge between spaces ``a`` and ``b`` that is open while all of ``needs`` are met.

    ``gas_only``: a membrane. ``one_way``: passes from a to b only. ``pump``: the number of the drive variable that makes
    it one-way (a to b) while that runs. ``large``: wider than a luer, so liquid does not hold in it by itself.
    """

    a: int
    b: int
    parts: tuple[str, ...]
    needs: tuple[Needed, ...] = ()
    gas_only: bool = False
    one_way: bool = False
    pump: int | None = None
    large: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """A connector: the space it is on, the variable of what it is joined to, and that of its brim (see ``brim``)."""

    part: str
    space: int
    mate: int
    brim: int
    role: str
    fits: str
    large: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Pump:
    """A pump head on one of its drives; ``inlet`` and ``outlet`` are the neighbouring spaces. Speeds in rpm.

    ``lift_speed`` is infinite where the rig does not state it: then no speed is known to hold against an artery.
    ``hand``: turned by hand, so no automatic response can stop it.
    """

    head: int
    drive: str
    speed: int
    seated: int
    inlet: int
    outlet: int
    lift_speed: float
    soft_speed: float
    hand: bool = False

    def turns(self, state: State) -> bool:
        """True if the head sits on this drive and the drive turns."""
        return state[self.speed] > 0 and state[self.seated] == 0

    def lifts(self, state: State) -> bool:
        """True if it surely turns fast enough to hold against an artery."""
        return self.turns(state) and state[self.speed] >= self.lift_speed


@dataclass(frozen=True, slots=True, kw_only=True)
class Bag:
    """A bag: its fluid and headspace as spaces, whether it is hung, and its surface height in cm when hung."""

    part: str
    fluid: int
    headspace: int
    hung: int
    height: float
    spilt: int
    """The variable that remembers that liquid ran out of the set, so that filling it again takes more from the bag."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Everything that settle needs to know of a rig."""

    rig: Rig
    variables: tuple[Variable, ...]
    defaults: State
    spaces: tuple[Space, ...]
    gates: tuple[Gate, ...]
    ends: tuple[End, ...]
    bags: tuple[Bag, ...]
    pumps: tuple[Pump, ...]
    """The one pump head on each of the drives that may turn it, in the order of the rig."""
    clamps: tuple[int, ...]
    """The variable of every clamp; its values are OPEN, SHUT and THROTTLED."""
    placed: int | None
    """The variable that tells which of ``pumps`` it is; None where the head has but one drive."""
    index: dict[tuple[str, str], int] = field(compare=False, hash=False, repr=False)
    space_of: dict[str, int] = field(compare=False, hash=False, repr=False)
    labels: dict[str, str] = field(compare=False, hash=False, repr=False)
    memory: dict[Any, Any] = field(init=False, default_factory=dict, compare=False, hash=False, repr=False)
    """What was derived from states of this layout (see stepwell.circuit.memory); no part of its value."""

    def pump(self, state: State) -> Pump | None:
        """The pump as the head sits in this state; None for a rig without a drive."""
        if not self.pumps:
            return None
        return self.pumps[0 if self.placed is None else state[self.placed]]

    def variable(self, part: str, name: str) -> int:
        """The number of a variable; KeyError if the part has none of that name."""
        return self.index[part, name]

    def end_of(self, part: str) -> End:
        """The end that is this part; KeyError if it is none."""
        ends: dict[str, End] | None = self.memory.get("ends by part")
        if ends is None:
            ends = self.memory["ends by part"] = {end.part: end for end in reversed(self.ends)}
        return ends[part]
