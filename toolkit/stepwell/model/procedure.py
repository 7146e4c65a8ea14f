"""One procedure: who, with what, from which state to which, and the body of steps."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from stepwell.diagnostics.span import Span
from stepwell.model.predicate import Predicate
from stepwell.model.quantity import Quantity
from stepwell.model.rig import Setting


class Kind(StrEnum):
    """What sort of procedure it is; emergency cards have stricter page rules."""

    ROUTINE = "routine"
    EMERGENCY = "emergency"
    CHECK = "check"


class Use(StrEnum):
    """How the card is used."""

    READ_AND_DO = "read-and-do"
    CALL_AND_REPLY = "call-and-reply"
    DO_THEN_CONFIRM = "do-then-confirm"


@dataclass(frozen=True, slots=True)
class Text:
    """Plain words."""

    words: str


@dataclass(frozen=True, slots=True)
class PartName:
    """``{part-id}``: printed as the part's label."""

    part: str


@dataclass(frozen=True, slots=True)
class Figure:
    """``{name}`` of a number that the unit sets; printed as value and unit, never broken across lines."""

    name: str


Run = Text | PartName | Figure
Words = tuple[Run, ...]
"""Author's text after its ``{...}`` have been resolved."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Via:
    """The short form in the file that an action was made from; it changes nothing about what is done.

    ``verbs`` are leading words of a ``say`` that mean the whole of it, ``parts`` the parts whose names stand for all of
    its own, ``every`` whether a word such as "all" does.
    """

    name: str
    verbs: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    every: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """One thing that one person does: a verb on parts, with the verb's options (``to``, ``at``, ``for``, ``wet`` ...)."""

    verb: str
    parts: tuple[str, ...] = ()
    options: tuple[tuple[str, str | bool | Quantity], ...] = ()
    via: Via | None = field(default=None, compare=False)
    span: Span | None = field(default=None, compare=False)

    def option(self, name: str) -> str | bool | Quantity | None:
        """The option called ``name``, or None."""
        return dict(self.options).get(name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A display or gauge to be read: the value must lie in the range. Not modelled, so it never changes the state."""

    part: str
    at_least: Quantity | None = None
    at_most: Quantity | None = None
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sight:
    """Something to be seen, heard or felt, in words (``see: no drops at the joints``). Not modelled."""

    words: Words
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """A fact of the circuit that must surely be so."""

    predicate: Predicate
    span: Span | None = field(default=None, compare=False)


Expectation = Condition | Reading | Sight


@dataclass(frozen=True, slots=True, kw_only=True)
class Otherwise:
    """What to do when an expectation is not met. Exactly one of ``words`` (call, fetch, abort), ``step``, ``card``."""

    words: Words = ()
    step: str | None = None
    card: str | None = None
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Warn:
    """A safety message: hazard, consequence, avoidance (ANSI Z535.6, from memory). The signal word is computed."""

    hazard: Words
    consequence: Words
    avoidance: Words
    severity: str = "serious"
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One line of the card.

    ``do`` is a short sequence of actions; other people's actions may fall between them unless ``at_once``.
    ``after`` are ids of steps that must be done before, in addition to the order of the body.
    """

    id: str
    who: str
    say: Words
    do: tuple[Action, ...] = ()
    at_once: bool = False
    expect: tuple[Expectation, ...] = ()
    if_not: Otherwise | None = None
    confirm: str | None = None
    why: Words = ()
    warn: tuple[Warn, ...] = ()
    takes: tuple[Quantity, Quantity] | None = None
    missed: Words = ()
    after: tuple[str, ...] = ()
    optional: bool = False
    span: Span | None = field(default=None, compare=False)
    say_span: Span | None = field(default=None, compare=False)
    do_span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """A titled sequence."""

    title: str
    body: Body
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class AnyOrder:
    """Items that may be done in any order, one after another or mixed."""

    title: str
    body: Body
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """What one role does, in sequence, beside the other lanes."""

    who: str
    body: Body
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lanes:
    """People working side by side; their single actions interleave freely."""

    title: str
    lanes: tuple[Lane, ...]
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """One answer to a question: a body, or another card, or the end. ``when`` limits it to states where that may hold."""

    label: str
    body: Body = ()
    when: Predicate | None = None
    card: str | None = None
    end: bool = False
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choose:
    """A question with outcomes; every outcome that may apply is explored."""

    id: str
    question: Words
    who: str
    outcomes: tuple[Outcome, ...]
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeat:
    """The body again and again until ``until`` is surely so, at most ``at_most`` times; running out blocks the run."""

    id: str
    title: str
    until: Predicate
    at_most: int
    body: Body
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A bar across all lanes of its surrounding sequence: what must be true, who agrees, how to abort."""

    id: str
    title: Words
    until: tuple[Expectation, ...]
    agree: tuple[str, ...]
    abort: Words
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Meet:
    """A named point in a lane at which every lane of the same lanes that names it waits for the others."""

    name: str
    span: Span | None = field(default=None, compare=False)


Item = Step | Stage | AnyOrder | Lanes | Choose | Repeat | Hold | Meet
Body = tuple[Item, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class KitItem:
    """Something to fetch: a plain name or a part, and how many."""

    name: str
    amount: str = "1"
    part: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Starts:
    """The state a procedure starts from: a baseline of its rig (or the end of another procedure) and deviations.

    ``open_settings`` lists, per part, the words that may hold at the start (``part: {any: [open, shut]}``).
    """

    baseline: str | None = None
    procedure: str | None = None
    settings: tuple[Setting, ...] = ()
    open_settings: tuple[tuple[str, tuple[str, ...]], ...] = ()
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Procedure:
    """A procedure as written. ``wording_only``: no step has an action yet; it is printed, but its order is not checked."""

    id: str
    title: str
    version: str
    kind: Kind
    rig: str
    use: Use
    use_when: Words
    do_not_use_when: Words
    people: tuple[str, ...]
    fewest_people: int
    kit: tuple[KitItem, ...]
    starts: Starts | None
    ends: tuple[Predicate, ...]
    cautions: tuple[Words, ...]
    sources: tuple[str, ...]
    done_call: Words
    body: Body
    hands_over: bool = False
    path: str = ""
    span: Span | None = field(default=None, compare=False)
    ends_span: Span | None = field(default=None, compare=False)

    @property
    def wording_only(self) -> bool:
        """True if no step says what is done in the tool's terms."""
        return not any(step.do for step in steps_of(self.body))


def steps_of(body: Body) -> tuple[Step, ...]:
    """Every step of a body in the order of the page."""
    found: list[Step] = []
    for item in body:
        match item:
            case Step():
                found.append(item)
            case Stage(body=inner) | AnyOrder(body=inner) | Repeat(body=inner):
                found.extend(steps_of(inner))
            case Lanes(lanes=lanes):
                for lane in lanes:
                    found.extend(steps_of(lane.body))
            case Choose(outcomes=outcomes):
                for outcome in outcomes:
                    found.extend(steps_of(outcome.body))
            case Hold() | Meet():
                pass
    return tuple(found)


def plain(words: Words, labels: dict[str, str], figures: dict[str, str]) -> str:
    """The words as read aloud; an unknown part or figure is left as its id, so that nothing is lost."""
    out: list[str] = []
    for run in words:
        match run:
            case Text(words=text):
                out.append(text)
            case PartName(part=part):
                out.append(labels.get(part, part))
            case Figure(name=name):
                out.append(figures.get(name, name))
    return "".join(out)
