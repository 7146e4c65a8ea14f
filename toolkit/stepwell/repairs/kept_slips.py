"""Whether a change lets a slip pass that was noticed before, or harms where it did not."""

from __future__ import annotations

from itertools import groupby

from stepwell.diagnostics.severity import Severity
from stepwell.model.procedure import Body
from stepwell.orders.search import Bounds
from stepwell.repairs.scene import Scene
from stepwell.slips.find import Searches, Seen
from stepwell.slips.results import Sort
from stepwell.slips.variants import Variant, variants

Silent = tuple[str, Sort, str]
"""Step, sort of slip, and the rule that is then violated with nobody having noticed."""

BOUNDS = Bounds(states=100_000, seconds=60.0)


class KeptSlips:
    """Silent slips of the procedure as it stands, worked out one by one as they are asked for."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self._known: dict[tuple[str, Sort, Severity], frozenset[str] | None] = {}
        self._bases: dict[Severity, Seen] = {}
        self._searches: dict[Severity, tuple[Searches, frozenset[str]]] = {}

    def new_ones(self, body: Body, level: Severity) -> tuple[tuple[Silent, ...], tuple[Silent, ...]] | None:
        """(new, left over): silent slips of the changed body, violating a rule of this severity or worse, that the
        procedure did not have.

        Left over are those whose rule was violated without any slip so far. None: not decided.
        """
        searches, harm = self._at(level)
        base = searches.look(body, harm)
        broken = {rule for rule, _, _ in base.broken}
        already = {rule for rule, _, _ in self._base(level).broken}
        if not base.complete:
            return None
        new: list[Silent] = []
        left: list[Silent] = []
        for (step, sort), group in groupby(variants(body, self.scene.rig), key=lambda one: (one.step, one.sort)):
            found = self._silent(tuple(group), level, broken)
            if found is None:
                return None
            unknown = found - already
            left += [(step, sort, rule) for rule in sorted(found & already)]
            if unknown:
                before = self._before(step, sort, level)
                if before is None:
                    return None
                new += [(step, sort, rule) for rule in sorted(unknown - before)]
                if new:
                    return tuple(new), tuple(left)
        return tuple(new), tuple(left)

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

    def _silent(self, group: tuple[Variant, ...], level: Severity, known: set[str]) -> frozenset[str] | None:
        searches, harm = self._at(level)
        rules: set[str] = set()
        for variant in group:
            seen = searches.look(variant.body, harm - known)
            if not seen.complete:
                return None
            rules |= {rule for rule, _, _ in seen.broken} - known
        return frozenset(rules)

    def _before(self, step: str, sort: Sort, level: Severity) -> frozenset[str] | None:
        key = (step, sort, level)
        if key not in self._known:
            known = {rule for rule, _, _ in self._base(level).broken}
            mine = [one for one in variants(self.scene.procedure.body, self.scene.rig) if (one.step, one.sort) == key[:2]]
            self._known[key] = self._silent(tuple(mine), level, known)
        return self._known[key]
