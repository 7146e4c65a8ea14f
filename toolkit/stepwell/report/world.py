"""The circuit with its rules as a world that the search of orders can explore."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any, NamedTuple, TypeAlias

from stepwell.circuit.apply import Done, do
from stepwell.circuit.fact_table import fact
from stepwell.circuit.layout import FIRST_MATE, OPEN, Layout, State
from stepwell.circuit.memory import looked_up
from stepwell.circuit.settle import Event, waited_for
from stepwell.circuit.sides import patient_attached
from stepwell.circuit.throttling import VALUES_OF_FLOW, throttled, with_clamps
from stepwell.circuit.view import View
from stepwell.model.predicate import Predicate
from stepwell.model.procedure import Action
from stepwell.model.quantity import Quantity
from stepwell.model.rule import AtTheEnd, Never, NeverLonger, Order, Within
from stepwell.model.tri import Tri
from stepwell.orders.program import Do
from stepwell.orders.program import Pause as Stop
from stepwell.orders.world import Acted, Observed
from stepwell.quantities.units import to
from stepwell.rules.evaluate import Ask, evaluate
from stepwell.rules.ground import Counted, GroundRule, Matched, ground
from stepwell.rules.moment import NEW, Memory, Moment, Pause, Watched
from stepwell.rules.watch import finish, watch

ENDS = "ends-not-reached"
"""The name under which a run that does not reach the procedure's own ``ends`` is reported."""

MOST_KEPT = 50_000
"""So much is remembered of each sort; the search goes on level by level, so that what is forgotten is seldom asked for."""

THROTTLING = "a clamp is partly shut, and how much flows there and at what pressure is not known"
"""Why a rule that needs a flow or a pressure is not decided."""

LOOKS_AFTER = (Never, Counted, Matched)
"""Shapes of which what they say depends on nothing but the state after an action."""
REMEMBERS = (Order, NeverLonger, Within)
"""Shapes that remember, or look at who acts and how long it takes. All others compare the states around an action."""

Told: TypeAlias = tuple[tuple[int, Watched], ...]
"""What rules say, by their number."""

NO_EVENTS: frozenset[Event] = frozenset()


class Here(NamedTuple):
    """A state of the search: the circuit, what each rule with a memory remembers, and whether a patient's end was joined."""

    circuit: State
    memory: tuple[Memory, ...]
    handed_over: bool


class CircuitWorld:
    """Implements ``stepwell.orders.world.World`` for one procedure on one rig.

    ``exercised`` collects the names of rules that had something to look at in any explored transition; ``undecided``
    rules that could not be decided in one, with the reason; ``already`` the actions found to be so already, as
    (step id, sentence). They only grow, so exploring twice changes nothing. What (rule, step) pairs of ``waived`` would
    break is noted in ``waived_hits`` and not told.
    """

    def __init__(
        self,
        layout: Layout,
        starts: tuple[State, ...],
        rules: tuple[GroundRule, ...],
        ends: tuple[Predicate, ...],
        waived: frozenset[tuple[str, str]] = frozenset(),
    ) -> None:
        self.layout = layout
        self.rules = rules
        self.exercised: set[str] = set()
        self.undecided: dict[str, str] = {}
        self.already: dict[tuple[str, str], Action] = {}
        self._starts = tuple(Here(state, (NEW,) * len(rules), False) for state in starts)
        self._ends = tuple(ground(end, layout.rig) for end in ends)
        self._wraps = tuple(
            (number, variable.words.index("on-field"))
            for number, variable in enumerate(layout.variables)
            if variable.name == "wrap"
        )
        self._done: dict[tuple[State, tuple[Action, ...]], Done] = {}
        self._asks: dict[tuple[State, frozenset[Event]], Ask] = {}
        self.waived = waived
        self.waived_hits: set[tuple[str, str]] = set()
        self._acted: dict[tuple[Here, int], Acted[Here]] = {}
        self._after: dict[tuple[State, frozenset[Event]], Told] = {}
        self._between: dict[tuple[State, tuple[Action, ...], bool], Told] = {}
        self._lookers = tuple(n for n, one in enumerate(rules) if isinstance(one.shape, LOOKS_AFTER))
        self._rememberers = tuple(n for n, one in enumerate(rules) if isinstance(one.shape, REMEMBERS))
        others = {*self._lookers, *self._rememberers}
        self._comparers = tuple(n for n in range(len(rules)) if n not in others)
        self._by_verbs: dict[tuple[frozenset[str], bool], tuple[int, ...]] = {}
        self._mine = object()
        """Stands for the rules of this world in the memory of the layout, which others use as well."""
        self._numbers: dict[Do, int] = {}
        self._pauses: dict[int, tuple[Pause, ...]] = {}
        self._known: dict[int, tuple[Do, int]] = {}
        self._ground: dict[Predicate, Predicate] = {}

    @property
    def counts_time(self) -> bool:
        """True if some rule counts the time between actions, so that programs must say what lies between them."""
        return any(isinstance(one.shape, Within) for one in self.rules)

    def only(self, names: frozenset[str]) -> CircuitWorld:
        """The same world with nobody but the rules called so watching; what was worked out of the circuit is shared."""
        found = CircuitWorld(self.layout, (), tuple(one for one in self.rules if one.rule.name in names), ())
        found._starts = tuple(Here(start.circuit, (NEW,) * len(found.rules), False) for start in self._starts)
        found._ends, found._done, found._asks, found._ground = self._ends, self._done, self._asks, self._ground
        return found

    def starts(self) -> tuple[Here, ...]:
        """Every state that the procedure's ``starts`` permits."""
        return self._starts

    def starts_of_the_circuit(self) -> tuple[State, ...]:
        """The states of the circuit at the starts, without what rules remember."""
        return tuple(start.circuit for start in self._starts)

    def done(self, state: State, actions: tuple[Action, ...]) -> Done:
        """Do the actions to a state of the circuit, remembering the result."""
        key = (state, actions)
        found = self._done.get(key)
        if found is None:
            _make_room(self._done)
            found = self._done[key] = do(self.layout, state, actions)
        return found

    def transitions(self) -> Iterator[tuple[State, tuple[Action, ...], State]]:
        """What actions were seen to do, as far as it is still remembered: the state before, the actions, the one after."""
        for (state, actions), done in self._done.items():
            if done.state is not None:
                yield state, actions, done.state

    def ask(self, state: State, events: frozenset[Event] = NO_EVENTS) -> Ask:
        """What answers facts in a state."""
        key = (state, events)
        found = self._asks.get(key)
        if found is None:
            _make_room(self._asks)
            found = self._asks[key] = asking(View(self.layout, state, events))
        return found

    def act(self, state: Here, node: Do) -> Acted[Here]:
        """Do a node's actions and show them to every rule."""
        key = (state, self._number(node))
        found = self._acted.get(key)
        if found is None:
            _make_room(self._acted)
            found = self._acted[key] = self._act(state, node)
        return found

    def _number(self, node: Do) -> int:
        """Equal nodes have one number, whichever program they stand in. Hashing them each time would cost more."""
        known = self._known.get(id(node))
        if known is None or known[0] is not node:
            known = self._known[id(node)] = (node, self._numbers.setdefault(node, len(self._numbers)))
        return known[1]

    def _act(self, state: Here, node: Do) -> Acted[Here]:
        done = self.done(state.circuit, node.actions)
        moment = self.moment(state, node)
        broke: set[str] = set()
        memory = list(state.memory)
        for number, seen in self._seen(state, node, moment):
            instance, remembered = self.rules[number], state.memory[number]
            memory[number] = seen.memory
            if seen.exercised:
                self.exercised.add(instance.rule.name)
            if seen.violated and self._only_by_throttling(state, node, instance, moment, remembered):
                self.undecided.setdefault(instance.rule.name, THROTTLING)
            elif seen.violated and (instance.rule.name, node.step) in self.waived:
                self.waived_hits.add((instance.rule.name, node.step))
            elif seen.violated:
                broke.add(instance.rule.name)
            if seen.undecided:
                self.undecided.setdefault(instance.rule.name, seen.undecided)
        if done.state is None:
            return Acted(None, done.refused, frozenset(broke))
        if done.already:
            self.already.setdefault((node.step, done.already), node.actions[0])
        here = Here(done.state, tuple(memory), state.handed_over or self._joins_patient(state.circuit, done.state))
        return Acted(here, None, frozenset(broke))

    def _seen(self, state: Here, node: Do, moment: Moment) -> Iterator[tuple[int, Watched]]:
        """What rules say to a moment, by their number; those that have nothing to say and to remember are left out.

        A rule without a memory says the same whoever acts and whatever came before, so that is worked out once for the
        circuit before and the actions, or even once for the circuit after them. A rule keyed on verbs has nothing to
        look at in any other action, and remembers what it knew.
        """
        done = self.done(state.circuit, node.actions)
        then = (state.circuit, NO_EVENTS) if done.state is None else (done.state, done.events)
        after = self._after.get(then)
        if after is None:
            _make_room(self._after)
            after = self._after[then] = self._told_after(moment, *then)
        yield from after
        verbs = frozenset(action.verb for action in node.actions)
        key = (state.circuit, node.actions, moment.handed_over)
        between = self._between.get(key)
        if between is None:
            _make_room(self._between)
            between = self._between[key] = self._told(self._comparing(verbs, moment.handed_over), moment)
        yield from between
        for number in self._rememberers:
            instance = self.rules[number]
            if instance.verbs is None or verbs & instance.verbs:
                yield number, watch(instance, moment, state.memory[number])

    def _comparing(self, verbs: frozenset[str], handed_over: bool) -> tuple[int, ...]:
        """The rules that may have something to say to actions of these verbs, of those that compare what is around them."""
        found = self._by_verbs.get((verbs, handed_over))
        if found is None:
            apt = (
                number
                for number in self._comparers
                if (kinds := self.rules[number].verbs) is None or verbs & kinds
                if handed_over or not isinstance(self.rules[number].shape, AtTheEnd)
            )
            found = self._by_verbs[verbs, handed_over] = tuple(apt)
        return found

    def _told_after(self, moment: Moment, state: State, events: frozenset[Event]) -> Told:
        """What the rules that look at nothing but the state after an action say, remembered by what they looked at."""

        def work(seen: State) -> Told:
            return self._told(self._lookers, replace(moment, after=asking(View(self.layout, seen, events))))

        return looked_up(self.layout, (self._mine, events), state, work)

    def _told(self, numbers: tuple[int, ...], moment: Moment) -> Told:
        """What these rules, which remember nothing, have to say; that they had something to look at is noted at once."""
        told: list[tuple[int, Watched]] = []
        for number in numbers:
            instance = self.rules[number]
            seen = watch(instance, moment, NEW)
            if seen.exercised:
                self.exercised.add(instance.rule.name)
            if seen.violated or seen.undecided:
                told.append((number, seen))
        return tuple(told)

    def _only_by_throttling(self, state: Here, node: Do, instance: GroundRule, moment: Moment, remembered: Memory) -> bool:
        """True if a rule is violated only because a clamp is partly shut, so that a flow or a pressure is not known."""
        done = self.done(state.circuit, node.actions)
        if not (throttled(self.layout, state.circuit) or (done.state and throttled(self.layout, done.state))):
            return False
        eased = with_clamps(self.layout, state.circuit, OPEN)
        before = _values_from(self.ask(eased), moment.before)
        after = before
        if done.state is not None:
            events = self.done(eased, node.actions).events
            after = _values_from(self.ask(with_clamps(self.layout, done.state, OPEN), events), moment.after)
        return not watch(instance, replace(moment, before=before, after=after), remembered).violated

    def moment(self, before: Here, node: Do) -> Moment:
        """What rules are shown of a node that is done in a state."""
        done = self.done(before.circuit, node.actions)
        asked = self.ask(before.circuit)
        return Moment(
            done=tuple((action.verb, action.parts) for action in node.actions),
            before=asked,
            after=asked if done.state is None else self.ask(done.state, done.events),
            handed_over=done.state is not None and self.hands_over(before, done.state),
            refused=done.state is None,
            who=node.who,
            step=node.step,
            seconds=max(map(stated_seconds, node.actions), default=0.0),
            takes=None if node.takes is None else (to(node.takes[0], "s"), to(node.takes[1], "s")),
            first=node.index == 0,
            last=node.index == node.size - 1,
            pauses=self._pauses_before(node),
        )

    def _pauses_before(self, node: Do) -> tuple[Pause, ...]:
        """The pauses before a node, with their times in seconds."""
        number = self._number(node)
        found = self._pauses.get(number)
        if found is None:
            found = self._pauses[number] = tuple(map(_pause, node.pauses))
        return found

    def hands_over(self, before: Here, after: State) -> bool:
        """True if the action took a pack onto the sterile field, or was the first to join a patient's end."""
        crossed = any(before.circuit[wrap] != on_field == after[wrap] for wrap, on_field in self._wraps)
        return crossed or (not before.handed_over and self._joins_patient(before.circuit, after))

    def _joins_patient(self, before: State, after: State) -> bool:
        """True if the action joined an end and a patient is attached from now on."""
        joined = any(before[end.mate] < FIRST_MATE <= after[end.mate] for end in self.layout.ends)
        return joined and patient_attached(View(self.layout, after)) and not patient_attached(View(self.layout, before))

    def grounded(self, predicate: Predicate) -> Predicate:
        """The predicate of a procedure on this rig."""
        found = self._ground.get(predicate)
        if found is None:
            found = self._ground[predicate] = ground(predicate, self.layout.rig)
        return found

    def observe(self, state: Here, predicate: Predicate) -> Observed[Here]:
        """Look whether a predicate is so; filling that is under way is watched to its end first."""
        wanted = self.grounded(predicate)
        truth = evaluate(wanted, self.ask(state.circuit))
        if truth is Tri.MAYBE:
            later = waited_for(self.layout, state.circuit)
            if later != state.circuit and evaluate(wanted, self.ask(later)) is Tri.YES:
                return Observed(Tri.YES, state._replace(circuit=later))
        return Observed(truth, state)

    def finish(self, state: Here) -> frozenset[str]:
        """Names of the rules violated by ending here."""
        ask = self.ask(state.circuit)
        narrow = throttled(self.layout, state.circuit)
        eased = _values_from(self.ask(with_clamps(self.layout, state.circuit, OPEN)), ask)
        broke: set[str] = set()
        for instance, remembered in zip(self.rules, state.memory, strict=True):
            seen = finish(instance, ask, remembered)
            if seen.exercised:
                self.exercised.add(instance.rule.name)
            if seen.violated and narrow and not finish(instance, eased, remembered).violated:
                self.undecided.setdefault(instance.rule.name, THROTTLING)
            elif seen.violated:
                broke.add(instance.rule.name)
            if seen.undecided:
                self.undecided.setdefault(instance.rule.name, seen.undecided)
        if self.unmet_ends(state):
            broke.add(ENDS)
        return frozenset(broke)

    def unmet_ends(self, state: Here) -> tuple[Predicate, ...]:
        """Those of the procedure's ``ends`` that are not surely so."""
        ask = self.ask(state.circuit)
        return tuple(end for end in self._ends if evaluate(end, ask) is not Tri.YES)


def _pause(pause: Stop) -> Pause:
    if pause.takes is None:
        return Pause(pause.name, 0.0, None)
    return Pause(pause.name, to(pause.takes[0], "s"), to(pause.takes[1], "s"))


def stated_seconds(action: Action) -> float:
    """The time that an action states for itself (``for``), 0 if it states none."""
    stated = action.option("for")
    return to(stated, "s") if isinstance(stated, Quantity) else 0.0


def _make_room(kept: dict[Any, Any]) -> None:
    """Begin anew where a memory is full: everything in it can be worked out again."""
    if len(kept) >= MOST_KEPT:
        kept.clear()


def _values_from(eased: Ask, real: Ask) -> Ask:
    """Flows and pressures as they are with every throttled clamp open, everything else as it is."""
    return lambda name, args: (eased if name in VALUES_OF_FLOW else real)(name, args)


def asking(view: View) -> Ask:
    """Answers facts of one view, each computed once. Raises KeyError for a fact that does not exist."""
    known: dict[tuple[str, tuple[str, ...]], Tri] = {}

    def ask(name: str, args: tuple[str, ...]) -> Tri:
        key = (name, args)
        found = known.get(key)
        if found is None:
            entry = fact(name)
            if entry is None:
                raise KeyError(name)
            found = known[key] = entry.evaluate(view, args)
        return found

    return ask
