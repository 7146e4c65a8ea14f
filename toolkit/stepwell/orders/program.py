"""A body of steps as a program: nodes, what each of them waits for, and what a decision leaves out.

The control state of a run is one int: the mask of the nodes that are *settled* (done, passed, answered or skipped).
A node may be taken when every node it needs is settled. So other people's actions fall between any two actions of
a step, unless the step does them at once.

What the constructs mean, in themselves and in each other (for authors, with examples: ORDERS.md)
---------------------------------------------------------

=============  ============================  ============================  ============================
construct      in a sequence (stage, lane,   in any-order                  in lanes
               outcome, round of a repeat)
=============  ============================  ============================  ============================
step           its actions in order, then    its actions keep their own    as in a sequence; a step's
               its expectation; all of that  order; actions of the other   end is no barrier for the
               before the next item          items may fall between        other lanes
at once        one action of the order: nothing falls between, wherever it stands
stage, lane    a sequence within             one item: its own order is    a sequence within its lane
               the sequence                  kept, mixed with the rest
any-order      all of it after the item      the same as if its items      its lane waits for all of
               before, all of it before      stood in the outer one        it; other lanes do not
               the item after
lanes          all lanes after the item      each lane keeps its order,    the lanes within a lane run
               before; the next item waits   mixed with the other items    beside the outer lanes
               for every lane
choose         asked when reached; the       asked at any moment; then     asked when its lane reaches
               chosen steps, then the next   the chosen steps are mixed    it; other lanes neither wait
               item                          with the other items          for it nor learn of it
repeat         round, look, round, look ...  the rounds keep their order,  as in a sequence; others may
               then the next item            mixed with the other items    act between round and look
hold           bars everything before it in  must be passed before what    bars its own lane only; in a
               the sequence (all lanes of    follows the any-order; bars   sequence around the lanes it
               it) from everything after     none of the other items       bars all of them
optional       in or out is decided when the step is reached (what it needs is settled); out settles the step
meet: M        stands in a lane or a stage of it: what a lane that names M does behind it waits for all that each of
               these lanes does before it, and for all that they waited for at meetings before it; lanes that do not
               name M neither wait nor are waited for; in any-order, a choose or a repeat within the lane, or
               outside lanes, there is nobody to meet, which is a problem
after: S       an edge from every node of S to every node of this step, wherever both stand; satisfied if S is
               skipped; in the same round where both stand in one repeat, else every round of S
=============  ============================  ============================  ============================

**A condition that is not so.** A hold is a place to wait: it is passed when its conditions are so, and fails only
where nobody else can act any more (*aborted* if the hold says how to abort, else *blocked*). A step's expectation
without ``if-not`` waits in the same way. With ``if-not`` in words or a card the person does not wait: that run ends
there, *aborted* (and the order in which the others act first is explored too). A fact that *may* be so is taken both
ways. Readings and sights are not modelled; they never block.

**if-not: a step.** The person does not wait; the run goes on at that step. Forward: everything between is skipped.
Backward: everything from that step to here is taken back and done again, as often as need be. The step must stand in
the same sequence or a sequence around it, reached through stages only, and neither lanes nor any-order may lie
between; otherwise the jump is a problem of the program and counts as no jump at all. A reading or sight may send the
run there at any time.

**Choose.** Every outcome is explored whose ``when`` is not surely false; if all are surely false, the run waits there
and is blocked when nobody else can act. The steps of the other outcomes are skipped.

**card and end.** The whole run ends as soon as that outcome is chosen and its steps, if any, are done. The other
lanes stop where they are, between two actions: what they have not done stays undone, and rules for the end of the
card look at just that state.

**Meet.** A meeting belongs to the lanes right around it, and in a repeat around those to its round. It is nothing that
is done: it only adds edges, so whoever jumps over it has skipped it, and whoever jumps back over it is waited for
again. Meetings that would wait for each other, or for themselves by way of ``after``, are a problem.

**Repeat.** One to ``at-most`` rounds. After a round: surely so, the repeat is left; surely not so, the next round
must be done; may be, both. After the last round the condition is waited for as at a hold, and a run in which it
does not come is blocked there.
"""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.model.predicate import Predicate
from stepwell.model.procedure import Action, Expectation, Otherwise, Words
from stepwell.model.quantity import Quantity

Times = tuple[Quantity, Quantity]
"""From, to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pause:
    """Something on the way to an action that is none: a look, a hold, a question. ``takes`` None: it states no time."""

    name: str
    takes: Times | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Do:
    """One action, or several that one person does at once. ``index`` counts the Do nodes of the step from 0.

    ``size``: how many they are. ``takes`` is what the whole step states; ``pauses`` are all that may come before.
    """

    step: str
    who: str
    index: int
    actions: tuple[Action, ...]
    size: int = 1
    takes: Times | None = None
    pauses: tuple[Pause, ...] = ()

    @property
    def name(self) -> str:
        """The id of the step."""
        return self.step


@dataclass(frozen=True, slots=True, kw_only=True)
class Jump:
    """Going on at another step: the masks of the nodes that are skipped, and of those that are to be done again."""

    step: str
    skips: int
    undoes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """A step's expectation. ``conditions`` are those of ``expects`` that the model can judge, in order."""

    step: str
    who: str
    expects: tuple[Expectation, ...]
    conditions: tuple[Predicate, ...]
    otherwise: Otherwise | None = None
    jump: Jump | None = None

    @property
    def name(self) -> str:
        """The id of the step."""
        return self.step

    @property
    def neutral(self) -> bool:
        """True if it never blocks, sends the run nowhere and tells nothing, so that it may be passed at once."""
        return not self.conditions and self.jump is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A hold."""

    hold: str
    expects: tuple[Expectation, ...]
    conditions: tuple[Predicate, ...]
    agree: tuple[str, ...]
    abort: Words

    @property
    def name(self) -> str:
        """The id of the hold."""
        return self.hold

    @property
    def neutral(self) -> bool:
        """True if it has no condition that the model can judge."""
        return not self.conditions


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One answer: the mask of the nodes that it leaves out, and the states it is limited to (where that may hold)."""

    label: str
    skips: int
    guard: Predicate | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """A decision: a question of the card (``name`` is its id), or whether an optional step is done (the step's id)."""

    name: str
    who: str
    options: tuple[Option, ...]
    optional: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Loop:
    """The look after a round of a repeat (counted from 1). ``leaves``: mask of the later rounds; the last has none."""

    repeat: str
    until: Predicate
    round: int
    last: bool
    leaves: int

    @property
    def name(self) -> str:
        """The id of the repeat."""
        return self.repeat

    @property
    def conditions(self) -> tuple[Predicate, ...]:
        """What is waited for after the last round."""
        return (self.until,)


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """The run ends as soon as this is reached. ``card``: the card that takes over. ``bare``: right at the answer.

    ``own``: mask of the question and the outcome's nodes, one of which is the last before the end.
    """

    name: str
    label: str
    card: str | None
    bare: bool
    own: int


Node = Do | Look | Bar | Ask | Loop | End


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Something that can't be compiled as written and was left out: the program permits *more* orders than meant.

    ``kind`` is ``unknown-step``, ``circle`` (``after`` would wait for itself), ``jump`` (``if-not`` can't be followed) or
    ``meeting`` (nobody to meet, or a meeting that would wait for itself; ``other`` is its name).
    """

    kind: str
    step: str
    other: str
    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """``nodes`` in an order that respects ``needs`` (the order of the page where ``after`` permits it).

    Per node: ``needs``, mask of all nodes that must be settled; ``covers``, the fewest of them that imply the rest;
    ``surely``, mask of the nodes that are surely settled when it is taken.
    """

    nodes: tuple[Node, ...]
    needs: tuple[int, ...]
    covers: tuple[int, ...]
    surely: tuple[int, ...]
    steps: tuple[tuple[str, int], ...] = ()
    """Step id, mask of all its nodes (in every round of a repeat)."""
    problems: tuple[Problem, ...] = ()

    @property
    def full(self) -> int:
        """The mask in which everything is settled."""
        return (1 << len(self.nodes)) - 1


def bits(mask: int) -> tuple[int, ...]:
    """The indices of a mask, ascending."""
    found: list[int] = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return tuple(found)


def skipping(node: Node) -> tuple[int, ...]:
    """The masks that the moves of this node may skip."""
    match node:
        case Ask(options=options):
            return tuple(option.skips for option in options)
        case Loop(leaves=leaves):
            return (leaves,)
        case Look(jump=Jump(skips=skips)):
            return (skips,)
    return ()


def undoing(node: Node) -> int:
    """The mask of the nodes that a move of this node may take back."""
    return node.jump.undoes if isinstance(node, Look) and node.jump is not None else 0


def turn(node: Node, option: int) -> tuple[int, int]:
    """(skipped, taken back): the masks that this move of the node settles or unsettles besides the node itself."""
    match node:
        case Ask(options=options) if option < len(options):
            return options[option].skips, 0
        case Loop(leaves=leaves) if option == 0:
            return leaves, 0
        case Look(jump=Jump(skips=skips, undoes=undoes)) if option:
            return skips, undoes
    return 0, 0
