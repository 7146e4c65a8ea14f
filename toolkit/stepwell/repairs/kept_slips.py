"""Whether a change lets a slip pass that was noticed before, or harms where it did not."""

from __future__ import annotations

from itertools import groupby

from stepwell.diagnostics.severity import Severity
from stepwell.model.procedure import Body
from stepwell.model.slip import Sort
from stepwell.orders.search import Bounds, search
from stepwell.repairs.achieved import Noting
from stepwell.repairs.scene import Scene
from stepwell.repairs.trouble import Trouble
from stepwell.report.faults import ENDS_NOT_REACHED
from stepwell.report.world import ENDS
from stepwell.slips.searches import Searches, Seen, UpToHarm
from stepwell.slips.variants import Variant, variants

Silent = tuple[str, Sort, str]
"""Step, sort of slip, and the rule that is then violated with nobody having noticed."""

BOUNDS = Bounds(states=100_000, seconds=60.0)


Harm = tuple[str, str | None]
"""A rule, and the step at which it is violated (None: at the end of the card)."""


class KeptSlips:
    """Silent slips of the procedure as it stands, worked out one by one as they are asked for."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self._known: dict[tuple[str, Sort, Severity], frozenset[str] | None] = {}
        self._bases: dict[Severity, Seen] = {}
        self._searches: dict[Severity, tuple[Searches, frozenset[str]]] = {}
        world = Noting(scene.world)
        search(scene.program_of(scene.procedure.body), world, bounds=BOUNDS, clock=scene.clock)
        self.reached = frozenset(world.reached)

    def hopeless(self, trouble: Trouble) -> bool:
        """True if in every order the procedure as it stands kills or can't go on, by this trouble alone."""
        name = trouble.key[0]
        severity = next((rule.severity for rule in self.scene.rules if rule.name == name), Severity.FATAL)
        if severity < Severity.FATAL:
            return False
        name = ENDS if name == ENDS_NOT_REACHED.name else name
        world = UpToHarm(self.scene.world, frozenset((name,)))
        result = search(self.scene.program_of(self.scene.procedure.body), world, bounds=BOUNDS, clock=self.scene.clock)
        return result.complete and all(name in self.scene.world.finish(end.state) for end in result.ended)

    def new_ones(
        self, body: Body, level: Severity, *, hopeless: bool
    ) -> tuple[tuple[Silent, ...], tuple[Silent, ...]] | None:
        """(new, left): silent slips of the changed body, violating a rule of this severity or worse, that the procedure
        did not have. The first new one ends the looking.

        Left are those whose rule was violated without any slip so far, or whose harm lies where no order led so far: they
        come to light, and are not made. In a procedure that was ``hopeless`` that is said of all. None: not decided.
        """
        searches, harm = self._at(level)
        base = searches.look(body, harm)
        broken = {rule for rule, _, _ in base.broken}
        already = {rule for rule, _, _ in self._base(level).broken}
        if not base.complete:
            return None
        left: list[Silent] = []
        for (step, sort), group in groupby(variants(body, self.scene.rig), key=lambda one: (one.step, one.sort)):
            found = self._silent(tuple(group), level, broken)
            if found is None:
                return None
            fresh = {rule for rule, where in found if rule not in already and where in self.reached and not hopeless}
            before = self._before(step, sort, level) if found else frozenset()
            if before is None:
                return None
            if fresh - before:
                return tuple((step, sort, rule) for rule in sorted(fresh - before)), tuple(left)
            left += [(step, sort, rule) for rule in sorted({rule for rule, _ in found} - before)]
        return (), tuple(left)

    def silent_at(self, group: tuple[Variant, ...], level: Severity) -> frozenset[Harm] | None:
        """What these variants of a slip harm in silence that is not harmed without it; None: not decided."""
        self._at(level)
        return self._silent(group, level, {rule for rule, _, _ in self._base(level).broken})

    def _at(self, level: Severity) -> tuple[Searches, frozenset[str]]:
        found = self._searches.get(level)
        if found is None:
            harm = frozenset(rule.name for rule in self.scene.rules if rule.severity >= level)
            world = self.scene.world.only(harm)
            found = self._searches[level] = (Searches(world, self.scene.clock, BOUNDS), harm)
        # The time is for one body, not for all that are looked at one after another.
        found[0].stop_at = self.scene.clock() + BOUNDS.seconds
        return found

    def _base(self, level: Severity) -> Seen:
        if level not in self._bases:
            searches, harm = self._at(level)
            self._bases[level] = searches.look(self.scene.procedure.body, harm)
        return self._bases[level]

    def _silent(self, group: tuple[Variant, ...], level: Severity, known: set[str]) -> frozenset[Harm] | None:
        searches, harm = self._at(level)
        found: set[Harm] = set()
        for variant in group:
            seen = searches.look(variant.body, harm - known)
            if not seen.complete:
                return None
            found |= {(rule, where) for rule, _, where in seen.broken if rule not in known}
        return frozenset(found)

    def _before(self, step: str, sort: Sort, level: Severity) -> frozenset[str] | None:
        key = (step, sort, level)
        if key not in self._known:
            known = {rule for rule, _, _ in self._base(level).broken}
            mine = [one for one in variants(self.scene.procedure.body, self.scene.rig) if (one.step, one.sort) == key[:2]]
            found = self._silent(tuple(mine), level, known)
            self._known[key] = None if found is None else frozenset(rule for rule, _ in found)
        return self._known[key]
