"""The library as a graph: which card leads to which, what leads nowhere, and what nothing leads to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from stepwell.model.procedure import AnyOrder, Body, Choose, Lanes, Procedure, Repeat, Stage, Step
from stepwell.model.workspace import Workspace
from stepwell.publish.numbering import marks_of


class Way(StrEnum):
    """How one card leads to another."""

    STARTS = "starts"
    """The other starts from the end of this one."""
    IF_NOT = "if-not"
    """What to do when something expected is not so."""
    ANSWER = "answer"
    """An answer to a question."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """One way from card to card. ``mark`` is the printed number of the line, ``answer`` the answer; empty where none."""

    source: str
    target: str
    way: Way
    mark: str = ""
    answer: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """A card. ``kind`` is routine, emergency or check; ``start`` a baseline of the rig that it starts from, or empty."""

    id: str
    title: str
    kind: str
    start: str
    hands_over: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LibraryGraph:
    """All cards in the order of reading, and all ways between them."""

    nodes: tuple[Node, ...]
    leads: tuple[Lead, ...]

    def out_of(self, card: str) -> tuple[Lead, ...]:
        """The ways that begin at a card."""
        return tuple(lead for lead in self.leads if lead.source == card)

    def into(self, card: str) -> tuple[Lead, ...]:
        """The ways that end at a card."""
        return tuple(lead for lead in self.leads if lead.target == card)

    @property
    def dangling(self) -> tuple[Lead, ...]:
        """Ways to a card that the library does not hold, or from one."""
        known = {node.id for node in self.nodes}
        return tuple(lead for lead in self.leads if lead.target not in known or lead.source not in known)

    @property
    def reached_by_none(self) -> tuple[Node, ...]:
        """Emergencies that no card leads to: staff find them on the wall, or on the first page, and nowhere else."""
        return tuple(node for node in self.nodes if node.kind == "emergency" and not self.into(node.id))

    @property
    def handed_to_nobody(self) -> tuple[Node, ...]:
        """Cards that hand over, from whose end no card starts."""
        return tuple(
            node
            for node in self.nodes
            if node.hands_over and not any(lead.way is Way.STARTS for lead in self.out_of(node.id))
        )


def graph_of(workspace: Workspace) -> LibraryGraph:
    """The graph. Cards that start from another's end stand right behind it; procedures, checks, then emergencies."""
    leads = tuple(lead for procedure in workspace.procedures for lead in _leads(procedure))
    return LibraryGraph(nodes=tuple(_in_order(workspace.procedures)), leads=leads)


def _in_order(procedures: tuple[Procedure, ...]) -> Iterator[Node]:
    by_id = {one.id: one for one in procedures}
    placed: set[str] = set()

    def follow(one: Procedure) -> Iterator[Node]:
        if one.id in placed:
            return
        placed.add(one.id)
        yield _node(one)
        for other in procedures:
            if other.kind is one.kind and other.starts and other.starts.procedure == one.id:
                yield from follow(other)

    for kind in ("routine", "check", "emergency"):
        group = [one for one in procedures if one.kind.value == kind]
        roots = [one for one in group if not (one.starts and one.starts.procedure in by_id)]
        # What is left after the roots starts from another kind's end, or from its own by a way round.
        for one in (*roots, *group):
            yield from follow(one)


def _node(one: Procedure) -> Node:
    start = one.starts.baseline if one.starts and one.starts.baseline else ""
    return Node(id=one.id, title=one.title, kind=one.kind.value, start=start.replace("-", " "), hands_over=one.hands_over)


def _leads(procedure: Procedure) -> Iterator[Lead]:
    if procedure.starts and procedure.starts.procedure:
        yield Lead(source=procedure.starts.procedure, target=procedure.id, way=Way.STARTS)
    yield from _within(procedure.body, procedure.id, marks_of(procedure.body))


def _within(body: Body, source: str, marks: dict[str, str]) -> Iterator[Lead]:
    for item in body:
        match item:
            case Step(id=name, if_not=told) if told is not None and told.card is not None:
                yield Lead(source=source, target=told.card, way=Way.IF_NOT, mark=marks.get(name, ""))
            case Choose(id=name, outcomes=outcomes):
                for outcome in outcomes:
                    if outcome.card is not None:
                        mark = marks.get(name, "")
                        yield Lead(source=source, target=outcome.card, way=Way.ANSWER, mark=mark, answer=outcome.label)
                    yield from _within(outcome.body, source, marks)
            case Stage(body=inner) | AnyOrder(body=inner) | Repeat(body=inner):
                yield from _within(inner, source, marks)
            case Lanes(lanes=lanes):
                for lane in lanes:
                    yield from _within(lane.body, source, marks)
            case _:
                pass
