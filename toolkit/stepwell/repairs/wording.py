"""A change as one sentence in the author's own words, and what is left to weigh."""

from __future__ import annotations

from collections.abc import Mapping

from stepwell.model.procedure import Choose, Condition, Hold, Procedure, Repeat, Step, plain
from stepwell.model.rig import Rig
from stepwell.model.slip import Sort
from stepwell.model.unit import Unit
from stepwell.repairs.changes import AddCheck, AddOrder, AddStep, AddToHold, Change, MoveStep
from stepwell.repairs.kept_slips import Silent
from stepwell.repairs.leaves import leaves_of
from stepwell.rules.in_words import in_words

TOLD = 3
_SLIPS = {
    Sort.OMITTED: "is left out",
    Sort.EARLY: "is done too early",
    Sort.TWICE: "is done twice",
    Sort.LOOK_ALIKE: "is done to a part that looks alike",
    Sort.UNCHECKED: "is not checked",
}


class Wording:
    """Words for changes to one procedure."""

    def __init__(self, procedure: Procedure, rig: Rig, unit: Unit) -> None:
        self.labels: Mapping[str, str] = {part.id: part.label for part in rig.parts}
        self.roles = {role.id: role.label for role in unit.roles}
        self.figures = {number.name: str(number.value) for number in unit.numbers}
        self.leaves = {leaf.id: leaf for leaf in leaves_of(procedure.body)}

    def sentence(self, changes: tuple[Change, ...]) -> str:
        """All of a repair in one sentence."""
        if len(changes) > 1 and all(isinstance(one, AddStep) for one in changes):
            added = [one for one in changes if isinstance(one, AddStep)]
            ordered = added if added[0].before else added[::-1]
            return self._added(tuple(one.step for one in ordered), added[0].before, added[0].anchor)
        said = " and ".join(self._said(one) for one in changes)
        return said[:1].upper() + said[1:] + "."

    def _said(self, change: Change) -> str:
        match change:
            case AddOrder():
                return f"let {self.named(change.step)} wait until {self.named(change.other)} is done"
            case AddCheck():
                return f"let {self.named(change.step)} also expect that {in_words(change.condition.predicate, self.labels)}"
            case AddToHold():
                said = in_words(change.condition.predicate, self.labels)
                return f"let {self.named(change.hold)} also wait until {said}"
            case MoveStep():
                where = "before" if change.before else "behind"
                return f"move {self.named(change.step)} to directly {where} {self.named(change.anchor)}"
            case AddStep():
                return self._added((change.step,), change.before, change.anchor)[:-1]

    def _added(self, steps: tuple[Step, ...], before: bool, anchor: str) -> str:
        said = " and ".join(f"“{self._read(step)}”" for step in steps)
        who = self.roles.get(steps[0].who, steps[0].who)
        where = f"directly {'before' if before else 'behind'} {self.named(anchor)}"
        looked = [in_words(one.predicate, self.labels) for one in steps[0].expect if isinstance(one, Condition)]
        return f"Add {said} ({who}) {where}{', to see that ' + ' and '.join(looked) if looked else ''}."

    def _read(self, step: Step) -> str:
        return plain(step.say, dict(self.labels), self.figures)

    def named(self, name: str) -> str:
        """A step, hold, question or repeat as people find it on the page."""
        leaf = self.leaves.get(name)
        match None if leaf is None else leaf.item:
            case Step() as step:
                number = leaf.number if leaf is not None else 0
                return f"step {number}, “{self._read(step)}” ({name})"
            case Hold(title=title):
                return f"the hold “{plain(title, dict(self.labels), self.figures)}” ({name})"
            case Choose(question=question):
                return f"the question “{plain(question, dict(self.labels), self.figures)}” ({name})"
            case Repeat(title=title):
                return f"the repeat “{title}” ({name})"
        return name

    def notes(self, changes: tuple[Change, ...], left: tuple[Silent, ...]) -> tuple[str, ...]:
        """What nobody would notice if it went wrong; slips at the added or moved step first."""
        new = {one.step.id: one.step for one in changes if isinstance(one, AddStep)}
        moved = {one.step for one in changes if isinstance(one, MoveStep)}
        slips = sorted(left, key=lambda one: one[0] not in moved and one[0] not in new)
        said = [
            f"Nothing in the model notices if {self._slipping(step, new)} {_SLIPS[sort]} ({rule})."
            for step, sort, rule in slips[:TOLD]
        ]
        more = len(slips) - TOLD
        return (*said, f"{more} more slips come to light that nothing notices.") if more > 0 else tuple(said)

    def slipping(self, silent: Silent) -> str:
        """The slip as a clause."""
        return f"{self.named(silent[0])} {_SLIPS[silent[1]]}"

    def _slipping(self, name: str, new: Mapping[str, Step]) -> str:
        return f"“{self._read(new[name])}”" if name in new else self.named(name)
