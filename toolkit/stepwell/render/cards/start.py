"""The circuit as it must stand before the first line, on the face of a card: "Does yours match?"

Which cards have it: those of the kind routine whose set has a circuit and whose starts the check knows. An emergency card
has no room for it and no time; a card whose order was not checked can't say how its circuit must stand.

Where it stands: on page 1 below the head of the card, if its words are large enough there; else on a page of its own
before the first line. It takes the form in which its words are largest in that room, up to the preferred size (20 minutes
of arc); where its words stay large enough, it leaves room for what belongs to it and for the kit on the same page. They are
never below the least size for the card's reading distance (16 minutes of arc, NUREG-0700 1.3.1-4, as quoted). A drawing
that would need smaller words is left out, and a finding says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from stepwell.circuit.compile_rig import compile_rig
from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.model.language import Language
from stepwell.model.procedure import Kind
from stepwell.model.rig import Rig
from stepwell.model.workspace import Workspace
from stepwell.publish.canonical import Plain
from stepwell.publish.sheet import Sheet
from stepwell.publish.translated import in_language, language_of
from stepwell.render.cards.facts import Layout
from stepwell.render.cards.fonts import FontFacts
from stepwell.render.cards.page_data import TOP_MM, WIDTH_MM
from stepwell.render.cards.sizes import LEAST_ARC, PREFERRED_ARC, cap_mm
from stepwell.render.drawings.compare import Form, ToCompare, has_circuit, to_compare
from stepwell.render.drawings.paper import number
from stepwell.render.drawings.type_size import SIZE
from stepwell.report.circuit_state import circuit_state
from stepwell.report.results import CheckReport, ProcedureReport
from stepwell.source.read_fixed_words import fixed_words

MOST_STARTS = 64
"""Where more are permitted they are not gone through; the card then has no drawing."""
AIR_MM = 1.0
"""Left free between the drawing and the foot of its page."""
NEAR_MM = 0.1
"""Heights are compared to within this, because the template is told them in hundredths."""
ABOVE_MM = 3.0
"""The space above its heading."""
TITLE_MM = 10.0
"""The least that its heading takes at the top of a page."""
HEAD_MM = 46.0
"""The least that the head of a card and the heading of the drawing take on page 1."""


class Place(Enum):
    """Where the drawing stands on the card."""

    FIRST = "first"
    OWN = "own"
    NOWHERE = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """The drawing of a card's start."""

    drawing: ToCompare
    language: Language

    def placed(self, place: Place, room: float, sheet: Sheet, font: FontFacts) -> Placed:
        """In the form in which its words are largest where it may be ``room`` mm high."""
        least, most = (
            cap_mm(arc, sheet.reading_distance_mm) / (SIZE * font.cap_height) for arc in (LEAST_ARC, PREFERRED_ARC)
        )
        form = self.drawing.best(WIDTH_MM, room, least, most)
        return Placed(start=self, place=place, form=form, height=form.height * form.scale(WIDTH_MM, room, most))


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A drawing with its place and its height in mm."""

    start: Start
    place: Place
    form: Form
    height: float

    def cap_mm(self, font: FontFacts) -> float:
        """The capitals of its words."""
        return SIZE * font.cap_height * self.height / self.form.height

    @property
    def width(self) -> float:
        """In mm."""
        return self.height * self.form.width / self.form.height

    def told(self) -> tuple[str, ...]:
        """Sentences on what is not said beside each part."""
        drawing, language = self.start.drawing, self.start.language

        def say(english: str, **slots: str) -> str:
            return language.say("card", english, **slots)

        said: list[str] = []
        if drawing.below not in ("", drawing.tubing) and drawing.tubing:
            upper, lower = drawing.tubing, drawing.below
            said.append(say("Tubing without words: above {upper}, below {lower}.", upper=upper, lower=lower))
        elif drawing.tubing or drawing.below:
            said.append(say("Tubing without words: {contents}.", contents=drawing.tubing or drawing.below))
        if drawing.unsure:
            said.append(say("In a frame: either is right."))
        return tuple(said)

    def plain(self, *, drawn: bool = True) -> Plain:
        """What the template needs to know; without ``drawn`` only how high the drawing is."""
        drawing = self.start.drawing
        svg, words = self.form.parted() if drawn else ("", ())
        return {
            "place": self.place.value,
            "svg": svg,
            "words": [[number(line.at[0]), number(line.at[1]), line.side, line.plain, line.bold] for line in words],
            "unit": f"{self.height / self.form.height:.5f}",
            "size": f"{SIZE}",
            "width": str(self.form.width),
            "height": f"{self.height:.2f}",
            "alt": f"{self.start.language.say('card', 'As it is before the first line.')} {drawing.told}",
            "said": " ".join(self.told()),
            "beside": [[label, words] for label, words in drawing.beside],
        }


def start_of(sheet: Sheet, rig: Rig | None, report: ProcedureReport | None) -> Start | None:
    """The drawing for a card; None for a card that has none. ``rig`` is in the language of the sheet."""
    if sheet.kind != Kind.ROUTINE.value or rig is None or report is None:
        return None
    return start_drawn(rig, report, fixed_words(sheet.language))


def start_drawn(rig: Rig, report: ProcedureReport, language: Language) -> Start | None:
    """The drawing of a set before the first line of a procedure; None where its starts are not known or nothing can be
    drawn. ``rig`` is in ``language`` already."""
    if not 0 < len(report.starts) <= MOST_STARTS or not has_circuit(rig):
        return None
    layout = compile_rig(rig)
    if any(len(state) != len(layout.variables) for state in report.starts):
        return None
    states = tuple(circuit_state(layout, state) for state in report.starts)
    return Start(drawing=to_compare(rig, states, language), language=language)


def start_in(workspace: Workspace, report: CheckReport, sheet: Sheet) -> Start | None:
    """The same from a workspace and its check."""
    if sheet.kind != Kind.ROUTINE.value:
        return None
    there = in_language(workspace, language_of(workspace, fixed_words(sheet.language)))
    rig = next((one for one in there.rigs if one.id == sheet.rig.id), None)
    return start_of(sheet, rig, next((one for one in report.procedures if one.procedure == sheet.id), None))


def first_try(start: Start, sheet: Sheet, font: FontFacts, bottom: float) -> Placed:
    """On page 1 as large as it can be, unless it is too high for that under any head of a card."""
    room = bottom - AIR_MM - TOP_MM
    first = start.placed(Place.FIRST, room - HEAD_MM, sheet, font)
    return first if legible(first, sheet, font) else start.placed(Place.OWN, room - TITLE_MM, sheet, font)


def settled(tried: Placed, tall: Layout, sheet: Sheet, font: FontFacts, bottom: float) -> Placed:
    """The same where it fills its room; else larger or smaller, or on a page of its own.

    ``tall`` is the layout of ``tried`` without pages, ``bottom`` where the foot of a page begins.
    """
    room, begins, ends = (
        tall.place("drawing", name, at) for name, at in (("room", "start"), ("start", "start"), ("start", "end"))
    )
    if room is None or begins is None or ends is None:
        return tried
    # At the top of a page the space above the heading is not set.
    own = bottom - AIR_MM - TOP_MM - (begins.y - room.y) + ABOVE_MM
    if tried.place is Place.OWN:
        return _kept(tried, tried.start.placed(Place.OWN, own, sheet, font))
    free = bottom - AIR_MM - begins.y
    for below in (*_below(tall, ends.y), 0.0):
        here = tried.start.placed(Place.FIRST, free - below, sheet, font)
        if legible(here, sheet, font):
            return _kept(tried, here)
    return tried.start.placed(Place.OWN, own, sheet, font)


def _kept(tried: Placed, found: Placed) -> Placed:
    return tried if found.form is tried.form and abs(found.height - tried.height) <= NEAR_MM else found


def _below(tall: Layout, y: float) -> list[float]:
    """How much the matter below the drawing takes that would best stand on its page: all of it, then less."""
    ends = [mark.y - y for mark in tall.marks if mark.sort == "front" and mark.at == "end" and mark.y > y]
    return sorted(ends, reverse=True)


def legible(placed: Placed, sheet: Sheet, font: FontFacts) -> bool:
    """Whether its words are as large as the reading distance asks."""
    return placed.cap_mm(font) >= cap_mm(LEAST_ARC, sheet.reading_distance_mm)


def left_out(placed: Placed, sheet: Sheet, font: FontFacts) -> Finding:
    """The finding for a drawing that no page is large enough for."""
    return Finding(
        rule="start-drawing-left-out",
        code="SW408",
        severity=Severity.MINOR,
        message=(
            "The circuit before the first line is not drawn on the card: on one page its capitals would be "
            f"{placed.cap_mm(font):.1f} mm high; "
            f"{cap_mm(LEAST_ARC, sheet.reading_distance_mm):.1f} mm is the least at {sheet.reading_distance_mm / 10:g} cm."
        ),
        mend="Shorten the labels of the set's parts. The kit list and the site show the same circuit.",
        procedure=sheet.id,
    )
