"""A slipped body in which second people look: where a confirmation may bring the slip to light.

A confirmation is a weak control, so what it can show is kept small. It counts

- at the slipped step itself, unless the step was left out, for its confirmation is left out with it. Where the step expects
  something of the circuit, the second person looks at that, and sees no more than is so. Where it has words alone, the
  second person is taken to notice the wrong part or the wrong turn; a step done again has been confirmed already;
- at another step that comes after the slip in every order, confirmed by another role than the one who slipped, if that
  step does nothing, has words alone, and names a part that the slipped step is done to.

It stands where it is written, so harm that comes before it is not averted.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial

from stepwell.model.predicate import AnyOf
from stepwell.model.procedure import Body, Condition, Otherwise, PartName, Sight, Step, Text, Words
from stepwell.model.slip import Sort
from stepwell.orders.compile import compile_body
from stepwell.orders.program import bits
from stepwell.slips.edit import AGAIN, put
from stepwell.slips.variants import Variant

_SEES_IT = Condition(predicate=AnyOf(()))
"""Met by no state: a second person who notices ends the run."""
_SAYS_SO = Otherwise(words=(Text("Stop."),))


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirmed:
    """The slipped body with second people looking at the steps ``by``."""

    body: Body
    by: tuple[str, ...]


def confirmed(variant: Variant, steps: Mapping[str, Step]) -> Confirmed | None:
    """The variant with every confirmation that counts; None if there is none. ``steps`` are those of the page, by id."""
    slipped = steps[variant.step]
    body, by = variant.body, []
    own = _own(slipped, variant.sort)
    if own is not None:
        at = slipped.id + AGAIN if variant.sort is Sort.TWICE else slipped.id
        body = put(body, at, partial(_looking, look=own))
        by.append(slipped.id)
    others = [one for one in steps.values() if _sees(one, slipped)]
    if others:
        later = _after(variant.body, slipped.id)
        for one in others:
            if one.id in later:
                body = put(body, one.id, partial(_looking, look=_NOTICES))
                by.append(one.id)
    return Confirmed(body=body, by=tuple(by)) if by else None


@dataclass(frozen=True, slots=True)
class _Looked:
    """What a second person looks at, and what they do if it is not so."""

    conditions: tuple[Condition, ...]
    if_not: Otherwise | None


_NOTICES = _Looked((_SEES_IT,), _SAYS_SO)


def _looking(step: Step, *, look: _Looked) -> Step:
    return replace(step, expect=look.conditions, if_not=look.if_not)


def _own(step: Step, sort: Sort) -> _Looked | None:
    """What the second person sees at the slipped step itself."""
    if step.confirm is None or sort is Sort.OMITTED:
        return None
    conditions = _conditions(step)
    if conditions:
        return _Looked(conditions, step.if_not)
    return None if sort is Sort.TWICE else _NOTICES


def _conditions(step: Step) -> tuple[Condition, ...]:
    return tuple(one for one in step.expect if isinstance(one, Condition))


def _sees(step: Step, slipped: Step) -> bool:
    """True if who confirms this step, which does nothing and is judged by words alone, looks at a part of the slip's."""
    if step.id == slipped.id or step.confirm in (None, slipped.who) or step.do or _conditions(step):
        return False
    named = _parts(step.say).union(*(_parts(one.words) for one in step.expect if isinstance(one, Sight)))
    return not named.isdisjoint(part for action in slipped.do for part in action.parts)


def _parts(words: Words) -> frozenset[str]:
    return frozenset(run.part for run in words if isinstance(run, PartName))


def _after(body: Body, step: str) -> frozenset[str]:
    """The steps that come after a step in every order, in all rounds of both."""
    program = compile_body(body, timed=False)
    masks = dict(program.steps)
    mine = masks.get(step, 0) | masks.get(step + AGAIN, 0)
    return frozenset(
        name for name, mask in masks.items() if mask and mine and all(not mine & ~program.surely[at] for at in bits(mask))
    )
