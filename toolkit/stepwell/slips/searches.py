"""Searches of bodies that differ little from one that was searched before.

A search ends a run at a refused action and at a look that fails, so a violation that it still meets is one that nothing
noticed before. Of a changed body only that is searched in which it may differ (``stepwell.orders.upon``): where it comes
to a place of the body as it was from which all that is left is the same, it stops, for whatever lies beyond was met there.
So of what the body as it was leads to as well, not all is told again.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from stepwell.model.procedure import Body
from stepwell.orders.alike import Alike, alike
from stepwell.orders.compile import Made, compile_body
from stepwell.orders.control import Control
from stepwell.orders.found import Found
from stepwell.orders.places import TAKEN, unpacked
from stepwell.orders.program import Do, Problem, Program
from stepwell.orders.search import Bounds, Follow, Search
from stepwell.orders.upon import Begun, build_upon
from stepwell.orders.world import Acted
from stepwell.report.world import ENDS, CircuitWorld, Here
from stepwell.slips.edit import AGAIN
from stepwell.slips.numbered import HARM, AnyHarm, EndingAtHarm, Numbered


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """One search in short: rules (not ``ends``) with (length, where, at the end), and what stopped or caught runs.

    Of several shortest runs to a violation the one whose last action stands first on the page tells ``where``.
    """

    broken: tuple[tuple[str, int, str | None], ...]
    stops: tuple[tuple[int, str, bool], ...]
    """(length, step or hold, True if it was a look), shortest first."""
    misses_end: bool
    complete: bool
    problems: tuple[Problem, ...]


class UpToHarm:
    """A world in which a run ends at the first violation of one of ``rules``.

    What comes after it would only be harm on top; the shortest run to any of these rules has none of them before.
    """

    def __init__(self, world: CircuitWorld, rules: frozenset[str]) -> None:
        self.world, self.rules = world, rules
        self.starts, self.observe, self.finish = world.starts, world.observe, world.finish

    def act(self, state: Here, node: Do) -> Acted[Here]:
        """Do a node's actions; refused (whatever came of it) if that is the harm."""
        acted = self.world.act(state, node)
        return acted if self.rules.isdisjoint(acted.broke) else Acted(None, "harm", acted.broke)


class _Noting(Found[int]):
    """Of several shortest runs to a violation the one whose last action stands first is noted, an end last."""

    def broke(self, rules: frozenset[str], length: int, place: int, move: int, at_end: bool = False) -> None:
        for rule in rules if self.wanted is None else rules & self.wanted:
            known = self.broken.get(rule)
            if known is None or (length, at_end, move) < (known[0], known[3], known[2]):
                self.broken[rule] = (length, place, move, at_end)


class Base:
    """A search of one body, and what it saw. It may be built upon if it is ``complete``."""

    def __init__(self, search: Search[int], seen: Seen) -> None:
        self.search, self.seen = search, seen


class Searches:
    """Searches of changed bodies in one world, whose memory of the circuit serves all of them."""

    def __init__(self, world: CircuitWorld, clock: Callable[[], float], bounds: Bounds, *, anew: bool = False) -> None:
        self.world, self.clock, self.bounds, self.anew = world, clock, bounds, anew
        self.numbered = Numbered(world)
        self.stop_at = clock() + bounds.seconds
        self.made: Made = {}
        self.places = 0
        """So many places were searched, in all searches together."""

    def look(self, body: Body, harm: frozenset[str] = frozenset()) -> Seen:
        """Search all orders of a body, each up to the first violation of one of the rules ``harm``."""
        return self.whole(body, harm).seen

    def whole(self, body: Body, harm: frozenset[str] = frozenset()) -> Base:
        """The same, to be built upon."""
        program = compile_body(body, timed=self.world.counts_time, made=self.made)
        return self._searched(program, EndingAtHarm(self.numbered, program, harm), None, None)

    def changed(self, body: Body, base: Base, harm: frozenset[str]) -> Seen:
        """What a changed body leads to that the ``base`` does not; what the base leads to as well may be left out.

        ``harm``: as for ``look``; none of these rules may be violated in the base.
        """
        program = compile_body(body, timed=self.world.counts_time, made=self.made)
        return self._searched(program, EndingAtHarm(self.numbered, program, harm), base, None).seen

    def harms(self, body: Body, base: Base, rules: frozenset[str]) -> bool:
        """True if some order of a changed body violates one of these rules, as far as that was searched.

        None of them may be violated in the base. A few orders are looked at first, for the harm is often in these.
        """
        program = compile_body(body, timed=self.world.counts_time, made=self.made)
        world, wanted = AnyHarm(self.numbered, program, rules), frozenset((HARM,))
        common = alike(base.search.program, base.search.control, program, Control(program))
        follows = (Follow.FIRST, Follow.EVERY)
        return any(self._searched(program, world, base, wanted, follow, common).seen.broken for follow in follows)

    def _searched(
        self,
        program: Program,
        world: EndingAtHarm | AnyHarm,
        base: Base | None,
        wanted: frozenset[str] | None,
        follow: Follow = Follow.EVERY,
        common: Alike | None = None,
    ) -> Base:
        bounds = Bounds(states=self.bounds.states, seconds=max(0.0, self.stop_at - self.clock()))
        noting = _Noting(program, wanted)
        search = Search(program, world, wanted, bounds, self.clock, follow, noting)
        begun: Begun[int] = search.starts()
        if base is not None and base.seen.complete and not self.anew:
            begun = build_upon(base.search, search, common)
        _, reason = search.explore(begun)
        self.places += len(search.places.keys)
        return Base(search, _seen(search, noting, program, complete=reason is None))


def _seen(search: Search[int], noting: _Noting, program: Program, *, complete: bool) -> Seen:
    def name(index: int) -> str:
        return program.nodes[index].name.removesuffix(AGAIN)

    lengths = search.places.lengths
    broken = sorted((length, rule, move, at_end) for rule, (length, _, move, at_end) in noting.broken.items())
    stops = [(lengths[place] + 1, name(index), False) for place, index, _ in noting.refusals.values()]
    failed = (*noting.blocked.values(), *noting.aborted.values())
    stops += [(lengths[place], name(unpacked(move).node), True) for place, move in failed]
    return Seen(
        broken=tuple(
            (rule, length, None if at_end else name(move ^ TAKEN)) for length, rule, move, at_end in broken if rule != ENDS
        ),
        stops=tuple(sorted(stops)),
        misses_end=ENDS in noting.broken,
        complete=complete,
        problems=program.problems,
    )
