"""What a card brings about on its way, so that no repair is offered that keeps the danger out by doing nothing any more."""

from __future__ import annotations

from stepwell.circuit.contents import AIR_FREE, LIQUID
from stepwell.circuit.hydraulics import FLOWS
from stepwell.circuit.layout import Layout, State
from stepwell.circuit.view import View
from stepwell.model.predicate import Predicate
from stepwell.orders.program import Do
from stepwell.orders.world import Acted, Observed
from stepwell.report.world import CircuitWorld, Here

Achieved = frozenset[tuple[str, str]]
"""(``liquid`` or ``air-free``, a space) and (``flow``, how it flows), with ``maybe`` before what is not sure."""
WANTED = ("forward", "recirculating")


class Noting:
    """A world that notes which steps are reached, whether the end is, and every state of the circuit on the way."""

    def __init__(self, world: CircuitWorld) -> None:
        self.world = world
        self.starts = world.starts
        self.reached: set[str | None] = set()
        self.circuits: set[State] = {start.circuit for start in world.starts()}

    def act(self, state: Here, node: Do) -> Acted[Here]:
        """Do a node's actions; note its step, and what came of it."""
        self.reached.add(node.step)
        acted = self.world.act(state, node)
        if acted.state is not None:
            self.circuits.add(acted.state.circuit)
        return acted

    def observe(self, state: Here, predicate: Predicate) -> Observed[Here]:
        """Look; watching a fill to its end is a way, too."""
        seen = self.world.observe(state, predicate)
        self.circuits.add(seen.state_if_so.circuit)
        return seen

    def finish(self, state: Here) -> frozenset[str]:
        """Note the end."""
        self.reached.add(None)
        return self.world.finish(state)

    def achieved(self) -> Achieved:
        """What is so, or may be, in one of the states that were noted."""
        return achieved(self.world.layout, self.circuits)


def achieved(layout: Layout, circuits: set[State]) -> Achieved:
    """What is surely so in one of these states, or at least may be so."""
    found: set[tuple[str, str]] = set()
    held = {number: variable.part for number, variable in enumerate(layout.variables) if variable.name == "contents"}
    for circuit in circuits:
        for number, part in held.items():
            for what, mask in (("liquid", LIQUID), ("air-free", AIR_FREE)):
                if circuit[number] & mask:
                    found.add((f"maybe {what}", part))
                if not circuit[number] & ~mask:
                    found.add((what, part))
        flow = View(layout, circuit).water.flow
        ways = [name for bit, name in enumerate(FLOWS) if flow >> bit & 1]
        found |= {("flow" if len(ways) == 1 else "maybe flow", name) for name in ways if name in WANTED}
    return frozenset(found)
