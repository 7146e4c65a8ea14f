"""A rig's chains sorted for drawing: the main path with its pump at the bottom, and what hangs on it.

The main path is the chain through the pump head (else the longest that is none of a patient's vessels). It is drawn as a
U: what lies before the head is the left column, what lies after it the right one, both counted from the bottom upwards.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from stepwell.circuit.entry import Family
from stepwell.circuit.kinds import part_kind
from stepwell.model.rig import ATMOSPHERE, Chain, Part, Rig
from stepwell.render.drawings.type_size import unhyphened

VESSELS = ("vein", "artery")
ELSEWHERE = "@"
"""Before a part of a chain of the rest that is drawn in another place, so that here it is only named."""


@dataclass(slots=True)
class Skeleton:
    """``stubs`` are short branches that end in the air, ``risers`` go up to a connector or a bag; both go by the part
    they leave from and begin with the part after it. ``above`` continues a column past its end, beyond a joint.
    ``ports`` are a bag's connectors. ``rest`` are chains that fit nowhere and are drawn in a row of their own."""

    left: list[str] = field(default_factory=list)
    head: str | None = None
    right: list[str] = field(default_factory=list)
    above_left: list[str] = field(default_factory=list)
    above_right: list[str] = field(default_factory=list)
    stubs: dict[str, list[list[str]]] = field(default_factory=dict)
    risers: dict[str, list[list[str]]] = field(default_factory=dict)
    ports: dict[str, list[str]] = field(default_factory=dict)
    rest: list[list[str]] = field(default_factory=list)
    equipment: list[str] = field(default_factory=list)

    def circuit(self) -> set[str]:
        """All that is drawn of it, the open air too."""
        columns = (self.left, self.right, self.above_left, self.above_right)
        hung = (chain for branches in (self.stubs, self.risers) for chains in branches.values() for chain in chains)
        return {name for names in (*columns, *hung, *self.ports.values(), self.ports, *self.rest) for name in names} | {
            self.head or ""
        }


def skeleton_of(rig: Rig) -> Skeleton:
    """Sort the chains. Every part of the rig is in exactly one place of the result."""
    return _Sorting(rig).sorted()


def base(name: str) -> str:
    """The part of a chain's name: ``bag.headspace`` is the bag."""
    return name.partition(".")[0]


def figures_of(rig: Rig, joined: frozenset[tuple[str, str]]) -> tuple[Skeleton, ...]:
    """The same; but where some chains fit nowhere, and the rig is two circuits that do not touch while ``joined`` is all
    that is joined, both of which are drawn whole, then one for each, the first with all equipment."""
    whole = skeleton_of(rig)
    circuits = _circuits(rig, joined) if whole.rest and joined else []
    if len(circuits) != 2:
        return (whole,)
    figures = tuple(
        skeleton_of(
            replace(
                rig,
                parts=tuple(part for part in rig.parts if part.id in one),
                chains=tuple(chain for chain in rig.chains if base(chain.parts[0]) in one),
            )
        )
        for one in circuits
    )
    if any(made.rest or made.equipment for made in figures):
        return (whole,)
    figures[0].equipment = whole.equipment
    return figures


def _circuits(rig: Rig, joined: frozenset[tuple[str, str]]) -> list[set[str]]:
    """The parts of each circuit, in the order of the rig's chains."""
    groups = [{base(name) for name in chain.parts} - {ATMOSPHERE} for chain in rig.chains if chain.parts]
    circuits: list[set[str]] = []
    for group in (*groups, *(set(pair) for pair in joined)):
        touched = [one for one in circuits if one & group]
        if not touched:
            circuits.append(set(group))
            continue
        touched[0].update(group, *touched[1:])
        circuits = [one for one in circuits if one is touched[0] or not any(one is other for other in touched)]
    return circuits


class _Sorting:
    def __init__(self, rig: Rig) -> None:
        self.rig = rig
        self.kinds = {part.id: part for part in rig.parts}
        self.made = Skeleton()
        self.taken: set[str] = set()

    def sorted(self) -> Skeleton:
        chains = [chain for chain in self.rig.chains if chain.parts]
        if chains:
            main = max(chains, key=self._weight)
            chains.remove(main)
            self._main([base(name) for name in main.parts if name != ATMOSPHERE])
        waiting = [[base(name) for name in chain.parts] for chain in chains]
        for column in (self.made.left, self.made.right):
            while self._goes_on(column, waiting):
                pass
        self._bags(waiting)
        self._above(waiting)
        while self._branch(waiting):
            pass
        for chain in waiting:
            fresh = {name for name in chain if name not in self.taken and name != ATMOSPHERE}
            if fresh:
                named = [name if name in fresh else ELSEWHERE + name for name in chain if name != ATMOSPHERE]
                self.made.rest.append(named)
                self.taken |= fresh
        self.made.equipment = [part.id for part in self.rig.parts if part.id not in self.taken]
        return self.made

    def _weight(self, chain: Chain) -> tuple[bool, bool, int]:
        return self._has(chain, "pump-head"), not any(self._has(chain, kind) for kind in VESSELS), len(chain.parts)

    def _has(self, chain: Chain, kind: str) -> bool:
        return any(self._kind(base(name)) == kind for name in chain.parts)

    def _kind(self, name: str) -> str:
        part = self.kinds.get(name)
        return "" if part is None else part.kind

    def _main(self, names: list[str]) -> None:
        at = next((n for n, name in enumerate(names) if self._kind(name) == "pump-head"), None)
        if at is None:
            middle = len(names) // 2
            self.made.left, self.made.right = names[:middle][::-1], names[middle:]
        else:
            self.made.left, self.made.head, self.made.right = names[:at][::-1], names[at], names[at + 1 :]
        self.taken |= set(names)

    def _goes_on(self, column: list[str], waiting: list[list[str]]) -> bool:
        """Lengthen a column by a chain that some baseline joins to its last connector: the main path in two pieces.

        The limbs' own ends are where the path ends; that they may be joined to each other does not make it longer.
        """
        last = column[-1] if column else ""
        if self._kind(last) != "end" or self._role([last]) in ("drain", "return"):
            return False
        mates = {
            setting.word.removeprefix("joined:")
            for baseline in self.rig.baselines
            for setting in baseline.settings
            if setting.part == last and setting.word.startswith("joined:")
        } - self.taken
        for chain in waiting:
            onward = chain if chain[0] in mates else chain[::-1]
            if onward[0] not in mates or any(self._kind(name) in (*VESSELS, "bag", "cannula") for name in chain):
                continue
            waiting.remove(chain)
            fresh = [name for name in onward if name != ATMOSPHERE and name not in self.taken]
            column += fresh
            self.taken |= set(fresh)
            return True
        return False

    def _bags(self, waiting: list[list[str]]) -> None:
        """Chains that are nothing but a bag and its connectors."""
        for chain in list(waiting):
            bags = [name for name in chain if self._kind(name) == "bag"]
            if bags and all(self._kind(name) in ("bag", "end") for name in chain):
                waiting.remove(chain)
                ports = self.made.ports.setdefault(bags[0], [])
                ports += [name for name in chain if self._kind(name) == "end" and name not in self.taken]
                self.taken |= set(chain)

    def _above(self, waiting: list[list[str]]) -> None:
        """Chains with a vessel that can be joined to the main path's ends."""
        for chain in list(waiting):
            if not any(self._kind(name) in (*VESSELS, "cannula") for name in chain) or set(chain) & self.taken:
                continue
            upwards = chain[::-1] if self._kind(chain[-1]) == "end" else chain
            left = self._role(chain) == "drain" or (self._role(chain) != "return" and not self.made.above_left)
            side = self.made.above_left if left else self.made.above_right
            if side or self._kind(upwards[0]) != "end":
                continue
            waiting.remove(chain)
            side += upwards
            self.taken |= set(chain)

    def _role(self, chain: list[str]) -> str | None:
        ends = [part for name in chain if (part := self.kinds.get(name)) is not None and part.kind == "end"]
        return ends[0].word("role") if ends else None

    def _branch(self, waiting: list[list[str]]) -> bool:
        """Hang one more chain on a column; False if none fits."""
        columns = {*self.made.left, *self.made.right, *self.made.above_left, *self.made.above_right}
        for chain in waiting:
            outward = chain if chain[0] in columns else chain[::-1]
            rest = outward[1:]
            fresh = [name for name in rest if name != ATMOSPHERE]
            if outward[0] not in columns or not fresh:
                continue
            closing = self._kind(fresh[-1]) == "bag"
            if any(name in self.taken for name in (fresh[:-1] if closing else fresh)):
                continue
            waiting.remove(chain)
            rises = any(self._kind(name) in ("line", "end", "bag") for name in fresh)
            where = self.made.risers if rises else self.made.stubs
            where.setdefault(outward[0], []).append(rest)
            self.taken |= set(fresh)
            if closing:
                self.made.ports.setdefault(fresh[-1], [])
            return True
        return False


def one_name(part: Part) -> str:
    """What people call a part, as it is drawn."""
    return unhyphened(" ".join((part.label or part.id).split()))


def family(part: Part) -> Family:
    """The family of a part; equipment where the kind is unknown."""
    kind = part_kind(part.kind)
    return Family.EQUIPMENT if kind is None else kind.family
