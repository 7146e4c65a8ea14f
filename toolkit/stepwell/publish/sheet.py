"""A sheet: everything of one procedure that is printed and shown, fully resolved, before any layout.

Cards and pages are both laid out from it, so that they can't say different things. Nothing in here needs the
workspace any more: parts are labels, numbers are values with units, predicates are sentences, roles are marks.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from stepwell.model.language import ENGLISH, Language


@dataclass(frozen=True, slots=True)
class TextRun:
    """Plain words."""

    words: str


@dataclass(frozen=True, slots=True)
class LabelRun:
    """The label of a part, as it stands on the part. ``part`` is its id."""

    words: str
    part: str


@dataclass(frozen=True, slots=True)
class FigureRun:
    """A value with its unit, never broken across lines. ``number`` is the unit's name for it, or empty."""

    words: str
    number: str = ""


SheetRun = TextRun | LabelRun | FigureRun
SheetText = tuple[SheetRun, ...]


def spoken(text: SheetText) -> str:
    """The text as one string, as it would be read aloud."""
    return "".join(run.words for run in text)


@dataclass(frozen=True, slots=True, kw_only=True)
class RoleMark:
    """A role: ``mark`` is its short form of one to three letters."""

    id: str
    label: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KitLine:
    """Something to fetch. ``place`` is where it belongs, if the rig says so."""

    name: str
    amount: str
    part: str | None = None
    place: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartPlace:
    """Where a part named in a step is found: ``label`` "prime bag", ``place`` "hook on the mast"."""

    part: str
    label: str
    place: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectLine:
    """One thing to observe.

    ``text`` is the whole sentence ("prime clamp is shut"). ``value`` is what stands behind the leader: the same
    without the part's name where the line names that part already ("shut", "at least 150 bar").
    ``sort`` is ``fact``, ``reading`` or ``sight``.
    """

    text: SheetText
    value: SheetText
    sort: str


@dataclass(frozen=True, slots=True, kw_only=True)
class IfNotLine:
    """What to do when an expectation is not met. ``step`` and ``card`` are ids to link to, where it names one."""

    text: SheetText
    step: str | None = None
    card: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WarningBox:
    """A safety message. ``signal`` is DANGER, WARNING or CAUTION; ``severity`` is minor, serious or fatal."""

    signal: str
    severity: str
    hazard: SheetText
    consequence: SheetText
    avoidance: SheetText


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeFields:
    """A step with a deadline: fields for start and due time are printed. ``missed``: what to do when it has passed."""

    missed: SheetText


@dataclass(frozen=True, slots=True, kw_only=True)
class StepLine:
    """One line of the card.

    ``mark`` is what is printed for it: a number that runs on through the whole sheet, or a letter where the step
    stands in an any-order block (``ordered`` False). ``boxes`` is how many place-keeping boxes it has.
    ``after`` are marks of earlier lines that must be done before it, besides the order of the page.
    """

    id: str
    mark: str
    ordered: bool
    role: RoleMark
    text: SheetText
    boxes: int = 1
    places: tuple[PartPlace, ...] = ()
    expect: tuple[ExpectLine, ...] = ()
    if_not: IfNotLine | None = None
    confirm: RoleMark | None = None
    why: SheetText = ()
    warnings: tuple[WarningBox, ...] = ()
    takes: SheetText = ()
    timed: TimeFields | None = None
    after: tuple[str, ...] = ()
    optional: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StageBlock:
    """A heading and its lines, in order."""

    title: str
    items: Items


@dataclass(frozen=True, slots=True, kw_only=True)
class AnyOrderBlock:
    """Lines that may be done in any order; both renderers must say so in the heading."""

    title: str
    items: Items


@dataclass(frozen=True, slots=True, kw_only=True)
class LaneColumn:
    """What one person does while the others do theirs."""

    role: RoleMark
    items: Items


@dataclass(frozen=True, slots=True, kw_only=True)
class LanesBlock:
    """People side by side, at the same time."""

    title: str
    lanes: tuple[LaneColumn, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OutcomeBranch:
    """One answer. ``leads`` says where it leads when it has no lines ("Use card ...", "The card ends here.", "Go on.")."""

    label: str
    items: Items
    leads: SheetText = ()
    card: str | None = None
    end: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionBlock:
    """A question with its outcomes; ``mark`` is its number among the lines."""

    id: str
    mark: str
    role: RoleMark
    text: SheetText
    outcomes: tuple[OutcomeBranch, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RepeatBlock:
    """Lines to repeat. ``until`` is the stop condition, ``at_most`` how often."""

    id: str
    title: str
    until: SheetText
    at_most: int
    items: Items


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldBar:
    """A bar across the whole page: what must be so, who agrees, how to abort."""

    id: str
    title: SheetText
    until: tuple[ExpectLine, ...]
    agree: tuple[RoleMark, ...]
    abort: SheetText


@dataclass(frozen=True, slots=True, kw_only=True)
class MeetLine:
    """A line in a lane: wait here for ``roles``, who wait too. ``name`` is what the meeting is called.

    ``id`` tells it from the other meetings of the sheet; it counts, so it is for links within one print only.
    """

    id: str
    name: str
    roles: tuple[RoleMark, ...]


SheetItem = MeetLine | StepLine | StageBlock | AnyOrderBlock | LanesBlock | QuestionBlock | RepeatBlock | HoldBar
Items = tuple[SheetItem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RigLine:
    """The rig the procedure is written for."""

    id: str
    title: str
    version: str
    inspected: date | None

    @property
    def sentence(self) -> str:
        """``Adult set 1.0.0, inspected 2026-10-01`` or ``..., not inspected``."""
        return self.sentence_in(ENGLISH)

    def sentence_in(self, language: Language) -> str:
        """The same in a language."""
        if self.inspected is None:
            return f"{self.title} {self.version}, {language.say('card', 'not inspected')}"
        return f"{self.title} {self.version}, " + language.say("card", "inspected {day}", day=language.day(self.inspected))


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseMark:
    """The approved release that an unmarked print is bound to."""

    approved: date
    effective: date
    review: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StatusLine:
    """Whether the sheet may be used. ``reasons`` say why it is a draft; no reason ever says that something is safe."""

    draft: bool
    reasons: tuple[str, ...]

    @property
    def sentence(self) -> str:
        """The status as printed."""
        return self.sentence_in(ENGLISH)

    def sentence_in(self, language: Language) -> str:
        """The same in a language, which is that of the reasons."""
        if not self.draft:
            return language.say("card", "Released.")
        return language.say("card", "Draft: {reasons}.", reasons="; ".join(self.reasons))


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One procedure, ready to lay out.

    ``use`` is a sentence. ``hash`` is the SHA-256 of the content (see ``stepwell.publish.canonical``): status, release,
    inspection date and ``as_of`` are not part of it, so it stays the same from draft to release.
    ``notice`` is the safety notice, the unit's own words included.
    """

    id: str
    title: str
    version: str
    kind: str
    language: str
    unit: str
    reading_distance_mm: int
    use: str
    use_when: SheetText
    do_not_use_when: SheetText
    people: tuple[RoleMark, ...]
    fewest_people: int
    kit: tuple[KitLine, ...]
    cautions: tuple[SheetText, ...]
    starts: tuple[SheetText, ...]
    items: Items
    ends: tuple[SheetText, ...]
    done_call: SheetText
    hands_over: bool
    sources: tuple[str, ...]
    notice: tuple[str, ...]
    rig: RigLine
    status: StatusLine
    release: ReleaseMark | None
    as_of: date
    hash: str = ""
    in_english: int = field(default=0, compare=False)
    """How many texts of a sheet in another language stand in English, each with its mark."""

    @property
    def short_hash(self) -> str:
        """The first twelve digits of the hash in groups of four, for reading over a telephone."""
        return " ".join(self.hash[at : at + 4] for at in (0, 4, 8))


def lines_of(items: Items) -> tuple[StepLine, ...]:
    """Every step line in the order of the page."""
    found: list[StepLine] = []
    for item in items:
        match item:
            case StepLine():
                found.append(item)
            case StageBlock(items=inner) | AnyOrderBlock(items=inner) | RepeatBlock(items=inner):
                found.extend(lines_of(inner))
            case LanesBlock(lanes=lanes):
                for lane in lanes:
                    found.extend(lines_of(lane.items))
            case QuestionBlock(outcomes=outcomes):
                for outcome in outcomes:
                    found.extend(lines_of(outcome.items))
            case HoldBar():
                pass
    return tuple(found)
