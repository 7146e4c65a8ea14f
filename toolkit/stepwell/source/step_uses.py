"""What the ids that steps refer to mean, once the whole body has been read."""

from __future__ import annotations

from dataclasses import replace

from stepwell.model.bodies import each_leaf
from stepwell.model.procedure import Body, Hold, Step
from stepwell.source import faults
from stepwell.source.near import did_you_mean, listed, quote
from stepwell.source.scope import Scope, StepUse


def reached(use: StepUse, scope: Scope) -> tuple[str, ...]:
    """The ids of the steps that are meant.

    Inside a ``for-each`` the step of the same part, if it has one. Else the step itself; from outside a ``for-each``, the
    step of every part. A step that ``if-rig`` left out is met by nobody.
    """
    if use.suffix and use.id + use.suffix in scope.ids:
        return (use.id + use.suffix,)
    if use.id in scope.ids:
        return (use.id,)
    return tuple(scope.families.get(use.id, ()))


def note_uses(scope: Scope) -> None:
    """Note every id that leads nowhere, or to several steps where one is needed."""
    told = set()
    for use in scope.uses:
        found = reached(use, scope)
        absent = use.id in scope.absent and not found
        fine = (use.after and (found or absent)) or len(found) == 1 or (scope.whole is None and absent)
        if fine or use.span in told:
            continue
        told.add(use.span)
        scope.notes.step = use.by or None
        if found:
            message = f"{quote(use.id)} stands for several steps, one for each part, and nobody can go on at all of them."
            mend = f"Name one of them: {listed(found, most=8)}."
        elif absent:
            message = f"The step {quote(use.id)} is not done with the rig {quote(scope.rig)}, so nobody can go on there."
            mend = "Put this step under the same `if-rig`, or name a step that every rig has."
        else:
            message = f"There is no step {quote(use.id)} in this procedure."
            mend = did_you_mean(use.id, scope.ids, what="Its ids are")
        scope.notes.add(faults.UNKNOWN_STEP, use.span, message, mend)
    scope.notes.step = None


def with_uses(body: Body, scope: Scope) -> Body:
    """The body with the ids that steps refer to replaced by those that are meant."""
    if not scope.families and not scope.absent:
        return body
    uses = {(use.by, use.id): reached(use, scope) for use in scope.uses}

    def leaf(item: Step | Hold) -> Step | Hold:
        if not isinstance(item, Step):
            return item
        after = tuple(one for name in item.after for one in uses.get((item.id, name), (name,)))
        way = item.if_not
        if way is not None and way.step is not None:
            there = uses.get((item.id, way.step), ())
            way = replace(way, step=there[0] if there else way.step)
        return replace(item, after=after, if_not=way)

    return each_leaf(body, leaf)
