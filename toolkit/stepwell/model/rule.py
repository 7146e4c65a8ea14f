"""A hazard rule as data. The shape says when it looks; the predicates say what it looks for."""

from __future__ import annotations

from dataclasses import dataclass, field

from stepwell.diagnostics.severity import Certainty, Severity
from stepwell.diagnostics.span import Span
from stepwell.model.policy import Policy
from stepwell.model.predicate import ALWAYS, Predicate, Ref, Selector
from stepwell.model.quantity import Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Never:
    """*never*: a state. Violated by any state after an action in which ``state`` is not surely false."""

    state: Predicate


@dataclass(frozen=True, slots=True, kw_only=True)
class Becomes:
    """*becomes*: a derived event. Violated when ``event`` was surely false before an action, may be true after it,
    and ``unless`` is not surely true before it."""

    event: Predicate
    unless: Predicate


@dataclass(frozen=True, slots=True, kw_only=True)
class BeforeDoing:
    """*before doing*: a precondition. Violated when ``verb`` is done to ``part`` and ``require`` is not surely true
    in the state just before (the action's own effects not yet counted)."""

    verb: str
    part: Ref | None
    require: Predicate


@dataclass(frozen=True, slots=True, kw_only=True)
class AtTheEnd:
    """*at the end*: must surely hold where the card ends, and at the derived hand-over. ``require`` is the good state.

    ``hand_over`` False: only where the card ends, for what is rightly otherwise while a patient is being connected.
    """

    require: Predicate
    hand_over: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """*order*: an action matching ``then`` may come only after one matching ``first`` has been done in the run."""

    first: tuple[str, Ref | None]
    then: tuple[str, Ref | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class NeverLonger:
    """*never for longer than*: a state that is right for a moment.

    Violated where ``state`` is not surely false and the stated times (``for``) that were spent in it add up to more than
    ``than``, or where the person whose action brought it about does something else without clearing it.
    """

    state: Predicate
    than: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Within:
    """*within*: a deadline. Once ``of`` may have become so, ``comes`` must surely be so after at most ``time``.

    It lapses where the rule's context surely ends. Times are the longest that the steps state (see
    ``stepwell.rules.shapes.within``); where one is not stated, the rule is not decided.
    """

    of: Predicate
    comes: Predicate
    time: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Enough:
    """*enough*: a counted stock. Violated where ``that`` may hold of more parts of ``over`` than ``stock`` says.

    ``variable`` stands for one of them in ``that``; ``stock`` names a figure of a part (``s.count``).
    """

    variable: str
    over: Selector
    that: Predicate
    stock: Ref


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """*match*: what is set up. ``word`` of the part ``of`` must be (or, with ``same`` False, not be) that of ``with_``.

    Without ``word`` the parts themselves are compared. ``e.joined`` is whatever end ``e`` is joined to just then.
    """

    of: Ref
    with_: Ref
    word: str | None = None
    same: bool = True


Shape = Never | Becomes | BeforeDoing | AtTheEnd | Order | NeverLonger | Within | Enough | Match


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where a rule comes from. ``mark``: seen, from memory, physics, common practice."""

    text: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule.

    ``for_every`` binds variables over the rig's parts; the rule is instantiated for each binding and does not apply to a
    rig without any. ``when`` is the context (over the same state as the shape looks at): outside it the rule is silent;
    a context that never occurs in any run makes the verdict *not applicable*. A context that *may* hold counts as held.
    """

    name: str
    code: str
    hazards: tuple[str, ...]
    title: str
    severity: Severity
    certainty: Certainty
    harm: str
    control: str
    sources: tuple[Source, ...]
    not_checked: str
    for_every: tuple[tuple[str, Selector], ...]
    shape: Shape
    when: Predicate = ALWAYS
    procedures: tuple[str, ...] = ()
    """Kinds of procedure it looks at (``routine`` ...); empty means all."""
    policy: Policy = ()
    """It applies only in a unit whose recorded policy on each of these topics is that word."""
    core: bool = False
    """A core rule can't be waived."""
    message: str = ""
    """What to tell the author when it is violated; ``{s}`` names the label of the part bound to ``s``."""
    mend: str = ""
    path: str = ""
    span: Span | None = field(default=None, compare=False)
