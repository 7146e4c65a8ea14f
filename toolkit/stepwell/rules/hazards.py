"""The register of hazards: what can go wrong with the circuit and around it, each with a number that rules refer to.

The register is wider than the rules: a hazard without a rule is listed all the same, so that nobody takes silence for
safety. Numbers are never used again for another hazard.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from stepwell.diagnostics.severity import Severity


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """``number`` as rules name it, what it is in one line, the phase of the work, and how bad it is at its worst."""

    number: str
    phase: str
    text: str
    severity: Severity


FATAL, SERIOUS, MINOR = Severity.FATAL, Severity.SERIOUS, Severity.MINOR

SET_UP: Final = "setting up and priming"
CONNECTING: Final = "connecting and starting"
RUNNING: Final = "care while running"
EMERGENCY: Final = "emergencies and changes"
MOVING: Final = "moving the patient"
ENDING: Final = "ending, and the documents themselves"

_REGISTER: Final[tuple[tuple[str, tuple[tuple[str, str, Severity], ...]], ...]] = (
    (
        SET_UP,
        (
            ("H01", "A built-in pressure sensor is zeroed when its site is no longer dry.", SERIOUS),
            ("H02", "A transducer on a fluid line is zeroed without being open to air and at its level.", SERIOUS),
            ("H03", "A pressure sensor is zeroed while something presses on it.", SERIOUS),
            ("H04", "A pressure sensor is left unplugged or unzeroed, or two of them are exchanged.", SERIOUS),
            ("H05", "The flow sensor is zeroed dry, running, or without a clamp on each side.", SERIOUS),
            ("H06", "The flow sensor sits backwards, on the wrong tube, or without contact.", SERIOUS),
            ("H07", "The water side is tested for leaks after the blood side was filled.", SERIOUS),
            ("H08", "Water does not circulate at the right temperature when the patient is connected.", SERIOUS),
            ("H09", "The water is too hot, or much warmer than the blood.", SERIOUS),
            ("H10", "Carbon dioxide is flushed in after liquid, without a way out, or left on.", SERIOUS),
            ("H11", "Carbon dioxide feeds the oxygenator of a patient.", FATAL),
            ("H12", "The oxygenator fills with its vent shut, and air stays in the bundle.", SERIOUS),
            ("H13", "The vent is open with a patient attached.", FATAL),
            ("H14", "Something is opened to the air where the pressure may be below it.", FATAL),
            ("H15", "The pump runs with its head dry or full of air.", SERIOUS),
            ("H16", "The prime bag runs empty with its line open to the circuit.", SERIOUS),
            ("H17", "The pump pushes against shut clamps for longer than a moment.", SERIOUS),
            (
                "H18",
                "The pump is clamped or stopped abruptly at high speed, and gas is drawn through the fibres.",
                FATAL,
            ),
            ("H19", "Sweep gas blows through the oxygenator long before a patient is connected.", MINOR),
            ("H20", "A side branch still holds air.", SERIOUS),
            ("H21", "A tap is left open to the air, or a port without its cap.", FATAL),
            ("H22", "A vented cap stays on after priming.", FATAL),
            ("H23", "The circuit is pressurised before its connectors are seated and tied.", SERIOUS),
            ("H24", "The patient is connected without a leak test under pressure.", SERIOUS),
            ("H25", "The prime or an additive is unlabelled or unchecked.", SERIOUS),
            ("H26", "A primed set is used past its date.", SERIOUS),
            ("H27", "A set on stand-by is left with a spiked bag or an open port.", SERIOUS),
            ("H28", "An automatic response is still suspended at hand-over.", FATAL),
            ("H29", "Alarm limits are those of the last patient.", SERIOUS),
            ("H30", "The bubble sensor is not on its line.", SERIOUS),
            ("H31", "The patient is connected with no back-up at hand.", FATAL),
        ),
    ),
    (
        CONNECTING,
        (
            ("H32", "The ends are passed to the sterile field unsterile.", SERIOUS),
            ("H33", "The loop is parted before both sides are clamped.", FATAL),
            ("H34", "Drainage and return limb are exchanged.", FATAL),
            ("H35", "Ends are joined with air between them.", FATAL),
            ("H36", "The return side is opened to an artery with the pump too slow to hold against it.", FATAL),
            ("H37", "Flow is started before gas, flow sensor and anticoagulation are confirmed.", SERIOUS),
            ("H38", "A clamp is forgotten on the main path.", SERIOUS),
            ("H39", "A priming or recirculation line stays open during support.", SERIOUS),
            ("H40", "Gas comes on too long after the flow.", FATAL),
            ("H41", "Gas flows without blood flow: on before it, or left on after it.", FATAL),
            ("H42", "The way out of the gas side is blocked, or gas goes in at the wrong port.", FATAL),
            ("H43", "The oxygenator stands above the heart with the pump still and a limb open.", FATAL),
            ("H44", "A line in a vein stands open during connection.", FATAL),
            ("H45", "A joint at a cannula is not locked, or a vessel is left open.", FATAL),
        ),
    ),
    (
        RUNNING,
        (
            ("H46", "A port before the pump is open while the pump runs.", FATAL),
            ("H47", "Renal replacement is connected before the pump without the unit's consent.", FATAL),
            ("H48", "An alarm of renal replacement is overridden to suit the circuit's pressure.", SERIOUS),
            ("H49", "The circuit is clamped while a branch is still pumping.", FATAL),
            ("H50", "An infusion into a port before the pump can run dry.", FATAL),
            ("H51", "Speed is raised while the suction is already past its limit.", SERIOUS),
            ("H52", "A sampling tap on the pressure side is left open.", SERIOUS),
            ("H53", "The gas side is flushed beyond its limits.", SERIOUS),
            ("H54", "Gas is off while blood flows to an artery.", FATAL),
            ("H55", "A trial without gas has no end time and nobody who ends it.", SERIOUS),
            ("H56", "A pressure sensor is zeroed again in mid-run.", SERIOUS),
            ("H57", "A needle comes near the cannula.", FATAL),
            ("H58", "The patient is turned without somebody who holds the lines.", FATAL),
            ("H59", "A limb stays clamped for longer than the unit's limit.", FATAL),
            ("H60", "The gradient over the oxygenator is watched without a baseline.", SERIOUS),
        ),
    ),
    (
        EMERGENCY,
        (
            ("H61", "The pump stops before the return side to an artery is clamped.", FATAL),
            ("H62", "The drainage side is clamped while the pump runs.", FATAL),
            ("H63", "With air in the circuit, something else is done before the patient is shut off.", FATAL),
            ("H64", "The circuit is opened again before the source is shut, the air out, and the bubble watch live.", FATAL),
            ("H65", "The pump head is moved to the back-up drive with the limbs open.", FATAL),
            ("H66", "The return side is released with the back-up drive too slow or turning the wrong way.", FATAL),
            ("H67", "Gas is not restored after a restart.", FATAL),
            ("H68", "A new oxygenator is fitted backwards, or the gas stays on the old one.", FATAL),
            ("H69", "After a change, water, pressure or temperature lines stay on the old set.", SERIOUS),
            ("H70", "A step needs more tube clamps than there are.", FATAL),
            ("H71", "At a leak, somebody looks before both sides of it are clamped.", FATAL),
            ("H72", "A cannula is taken out or comes out with the pump running.", FATAL),
            ("H73", "Clamps, suspended responses or silenced alarms are left after an event.", FATAL),
            ("H74", "Speed is raised at a low flow before kinks and clamps are traced.", SERIOUS),
            ("H75", "A clamp that shuts by itself goes unrecognised.", FATAL),
            ("H76", "Nobody supports the patient while there is no flow.", FATAL),
        ),
    ),
    (
        MOVING,
        (
            ("H77", "The wall gas is let go before the cylinder flows.", FATAL),
            ("H78", "On arrival the patient stays on the cylinder.", FATAL),
            ("H79", "The oxygen taken along is less than twice the need.", FATAL),
            ("H80", "The mains are left with a battery that is short or unproven.", FATAL),
            ("H81", "On arrival the mains are not proven: plugged in is not powered.", SERIOUS),
            ("H82", "Back-up drive, clamps or spare set do not travel along.", FATAL),
            ("H83", "An alarm is silenced before its cause is found.", FATAL),
            ("H84", "Nobody clears the path through doors and lifts.", SERIOUS),
            ("H85", "The heater is off for long, without a plan.", MINOR),
            ("H86", "The oxygenator is lifted above the patient on transfer.", FATAL),
            ("H87", "On arrival nobody trained is at the bedside.", FATAL),
        ),
    ),
    (
        ENDING,
        (
            ("H88", "A trial with shut limbs has no timer.", SERIOUS),
            ("H89", "A venous cannula is pulled while the patient breathes in.", FATAL),
            ("H90", "A cannula is taken out with gas on or the pump running.", FATAL),
            ("H91", "Blood in the set is returned with air behind it.", FATAL),
            ("H92", "The set is thrown away before the patient is stable.", SERIOUS),
            ("H93", "The card is for another circuit, mode or drive.", FATAL),
            ("H94", "A superseded card hangs at the bedside.", SERIOUS),
            ("H95", "One person fills two roles that must act at the same moment.", SERIOUS),
            ("H96", "The second check is signed by the one who did it.", SERIOUS),
        ),
    ),
)

HAZARDS: Final[tuple[Hazard, ...]] = tuple(
    Hazard(number=number, phase=phase, text=text, severity=severity)
    for phase, entries in _REGISTER
    for number, text, severity in entries
)


def hazard(number: str) -> Hazard | None:
    """The hazard of this number, or None."""
    return next((found for found in HAZARDS if found.number == number), None)
