"""An invented unit, built by hand: one procedure with every kind of block, an emergency, a check, all verdicts."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from stepwell.diagnostics.finding import Finding, Related
from stepwell.diagnostics.severity import Certainty, Severity
from stepwell.diagnostics.trace import Trace, TraceLine
from stepwell.model.predicate import Fact, Ref
from stepwell.model.procedure import (
    Action,
    AnyOrder,
    Choose,
    Condition,
    Figure,
    Hold,
    Kind,
    KitItem,
    Lane,
    Lanes,
    Otherwise,
    Outcome,
    PartName,
    Procedure,
    Reading,
    Repeat,
    Sight,
    Stage,
    Starts,
    Step,
    Text,
    Use,
    Warn,
    Words,
)
from stepwell.model.quantity import Quantity
from stepwell.model.rig import Part, Rig
from stepwell.model.rule import Never, Rule, Source
from stepwell.model.unit import Number, Role, Synonym, Unit
from stepwell.model.workspace import Workspace
from stepwell.report.results import (
    Bites,
    Bound,
    CheckReport,
    Orders,
    ProcedureReport,
    Status,
    StepPicture,
    Verdict,
)

AS_OF = date(2026, 11, 24)
HOSTILE = "<script>document.title='taken'</script> [x](javascript:alert(1)) <img src=x onerror=alert(2)>"


def words(text: str) -> Words:
    """``{part}`` and ``{number}`` in a text become runs; numbers are those of the unit."""
    out: list[Text | PartName | Figure] = []
    for index, piece in enumerate(text.replace("}", "{").split("{")):
        if index % 2:
            out.append(Figure(piece) if piece in {"fill-speed", "sweep-start"} else PartName(piece))
        elif piece:
            out.append(Text(piece))
    return tuple(out)


def q(value: str, unit: str) -> Quantity:
    return Quantity(Decimal(value), unit)


def fact(name: str, *args: str) -> Fact:
    return Fact(name, tuple(Ref(arg) for arg in args))


def sure(name: str, *args: str) -> Condition:
    return Condition(predicate=fact(name, *args))


UNIT = Unit(
    name="Northmoor ECMO unit",
    region="eu",
    languages=("en",),
    roles=(
        Role(id="specialist", label="Specialist", mark="SP"),
        Role(id="nurse", label="Nurse", mark="N"),
    ),
    numbers=(
        Number(name="fill-speed", value=q("2800", "rpm")),
        Number(name="sweep-start", value=q("4", "L/min")),
    ),
    reading_distance=q("60", "cm"),
    notice="An invented unit, for trying out.",
    synonyms=(
        Synonym(words=("air in circuit", "air embolism", "bubbles", "VAE")),
        Synonym(words=("oxygenator", "oxy", "membrane lung", "SpO₂ falls")),
        Synonym(words=("priming", "prime", "fill the set")),
    ),
)

RIG = Rig(
    id="adult-bedside",
    title="Adult bedside set",
    version="1.0.0",
    inspected=date(2026, 10, 1),
    parts=(
        Part(id="prime-bag", kind="bag", label="prime bag", place="hook on the mast"),
        Part(id="prime-clamp", kind="clamp", label="prime clamp", place="below the bag"),
        Part(id="return-clamp", kind="clamp", label="return clamp"),
        Part(id="drain-clamp", kind="clamp", label="drain clamp"),
        Part(id="pump", kind="drive", label="pump"),
        Part(id="oxygenator", kind="oxygenator", label="oxygenator", place="holder, left"),
        Part(id="vent", kind="vent", label="vent cover"),
        Part(id="pre-sensor", kind="pressure-sensor", label="pre-membrane sensor", traits=("built-in",)),
    ),
    chains=(),
    baselines=(),
)


def step(name: str, who: str, say: str, verb: str = "open", part: str = "vent", **more: object) -> Step:
    done = (Action(verb=verb, parts=(part,)),)
    return Step(id=name, who=who, say=words(say), do=done, **more)  # type: ignore[arg-type]  # test shorthand


PRIME = Procedure(
    id="prime-adult",
    title="Prime the adult set",
    version="1.2.0",
    kind=Kind.ROUTINE,
    rig="adult-bedside",
    use=Use.CALL_AND_REPLY,
    use_when=words("A dry set stands ready and a patient is expected."),
    do_not_use_when=words("The package was open or wet."),
    people=("specialist", "nurse"),
    fewest_people=2,
    kit=(KitItem(name="", part="prime-bag", amount="2"), KitItem(name="tube clamp", amount="4")),
    starts=Starts(baseline="dry-assembled", open_settings=(("prime-clamp", ("open", "shut")),)),
    ends=(fact("shut", "vent"), fact("filled", "oxygenator")),
    cautions=(words("Keep the ends covered until they are handed over."),),
    sources=("common practice, no source",),
    done_call=words("The set is full and free of air."),
    body=(
        Stage(
            title="Zero while it is dry",
            body=(
                step(
                    "k7f3",
                    "specialist",
                    "Zero {pre-sensor}.",
                    verb="zero",
                    part="pre-sensor",
                    expect=(sure("zeroed", "pre-sensor"),),
                    if_not=Otherwise(words=words("Change the cable and zero again.")),
                    why=words("A sensor zeroed on a full line reads wrong for the whole run."),
                    warn=(
                        Warn(
                            hazard=words("A built-in sensor is zeroed with liquid in its chamber."),
                            consequence=words("The pressure is read too low, and suction is missed."),
                            avoidance=words("Zero before any line is opened."),
                            severity="serious",
                        ),
                    ),
                ),
                step(
                    "m2q8",
                    "nurse",
                    "Hang {prime-bag}.",
                    verb="hang",
                    part="prime-bag",
                    takes=(q("30", "s"), q("2", "min")),
                ),
            ),
        ),
        AnyOrder(
            title="Make it ready to fill",
            body=(
                step("a1b2", "specialist", "Open {vent}.", expect=(sure("open", "vent"),)),
                step("c3d4", "nurse", "Shut {drain-clamp}.", verb="shut", part="drain-clamp", optional=True),
            ),
        ),
        Lanes(
            title="Fill",
            lanes=(
                Lane(
                    who="specialist",
                    body=(
                        step(
                            "e5f6",
                            "specialist",
                            "Run {pump} at {fill-speed}.",
                            verb="run",
                            part="pump",
                            expect=(Reading(part="pump", at_least=q("2700", "rpm"), at_most=q("2900", "rpm")),),
                            confirm="nurse",
                        ),
                    ),
                ),
                Lane(
                    who="nurse",
                    body=(
                        step(
                            "g7h8",
                            "nurse",
                            "Open {prime-clamp}.",
                            part="prime-clamp",
                            missed=words("Stop the pump and begin again."),
                        ),
                        step(
                            "j9k1",
                            "nurse",
                            "Watch {oxygenator} until no bubble rises.",
                            verb="wait",
                            part="oxygenator",
                            expect=(Sight(words=words("no bubbles at the top")),),
                        ),
                    ),
                ),
            ),
        ),
        Repeat(
            id="r1aa",
            title="Tap out the bubbles",
            until=fact("air-free", "oxygenator"),
            at_most=3,
            body=(step("n2p3", "specialist", "Tap {oxygenator} and wait.", verb="wait", part="oxygenator"),),
        ),
        Choose(
            id="q7aa",
            question=words("Is there air in the return line?"),
            who="specialist",
            outcomes=(
                Outcome(label="Yes, a few bubbles", body=(step("s4t5", "nurse", "Shut {return-clamp}.", verb="shut"),)),
                Outcome(label="Yes, a column of air", card="air-in-return"),
                Outcome(label="No"),
            ),
        ),
        Hold(
            id="h1aa",
            title=words("The set is full"),
            until=(sure("filled", "oxygenator"), sure("shut", "vent")),
            agree=("specialist", "nurse"),
            abort=words("Leave the set clamped and take another."),
        ),
        Stage(title="Hand over", body=(step("u6v7", "specialist", HOSTILE, verb="shut"),)),
    ),
)

AIR = Procedure(
    id="air-in-return",
    title="Air in the return line",
    version="0.9.0",
    kind=Kind.EMERGENCY,
    rig="adult-bedside",
    use=Use.READ_AND_DO,
    use_when=words("You see air between the oxygenator and the patient, or the bubble alarm sounds."),
    do_not_use_when=(),
    people=("specialist",),
    fewest_people=1,
    kit=(KitItem(name="tube clamp", amount="2"),),
    starts=None,
    ends=(fact("shut", "return-clamp"),),
    cautions=(),
    sources=(),
    done_call=words("Patient is off the circuit. Clamps are on."),
    body=(
        Stage(
            title="Stop air reaching the patient",
            body=(
                step("b2aa", "specialist", "Shut {return-clamp}.", verb="shut", part="return-clamp"),
                step("b3aa", "specialist", "Stop {pump}.", verb="stop", part="pump", expect=(sure("stopped", "pump"),)),
                step("b4aa", "specialist", "Call for help. Say “air in the circuit”.", verb="wait"),
            ),
        ),
        Stage(
            title="Keep the patient alive",
            body=(
                step("b5aa", "nurse", "Raise the ventilator to full support.", verb="wait"),
                step("b6aa", "nurse", "Put the patient head down.", verb="wait", why=words("Air rises away from the head.")),
            ),
        ),
    ),
)


def small(name: str, title: str, kind: Kind, use_when: str) -> Procedure:
    """A procedure of one step, in words only."""
    return Procedure(
        id=name,
        title=title,
        version="0.1.0",
        kind=kind,
        rig="adult-bedside",
        use=Use.DO_THEN_CONFIRM,
        use_when=words(use_when),
        do_not_use_when=(),
        people=("nurse",),
        fewest_people=1,
        kit=(),
        starts=None,
        ends=(),
        cautions=(),
        sources=(),
        done_call=(),
        body=(Step(id="z" + name[:3].replace("-", "0"), who="nurse", say=words("Look at it from end to end.")),),
    )


SMALL = (
    small("pump-stops", "The pump stops", Kind.EMERGENCY, "The flow is nothing and the pump head stands still."),
    small(
        "gas-lost", "The sweep gas fails", Kind.EMERGENCY, "The gas flow is nothing, or the blood after the lung is dark."
    ),
    small(
        "cannula-out", "A cannula comes out", Kind.EMERGENCY, "A cannula has left the vessel or blood wells up beside it."
    ),
    small("gas-to-cylinder", "Move the sweep gas to a cylinder", Kind.ROUTINE, "Before any move of a supported patient."),
    small("circuit-change", "Change the circuit", Kind.ROUTINE, "Clot or a failing oxygenator."),
    small("shift-check", "Check at the start of a shift", Kind.CHECK, "Each time the specialist changes."),
)


def rule(name: str, code: str, title: str, severity: Severity, core: bool = False) -> Rule:
    return Rule(
        name=name,
        code=code,
        hazards=("H01",),
        title=title,
        severity=severity,
        certainty=Certainty.COULD,
        harm="The pressure before the membrane is read too low, so that suction or a clot is missed.",
        control="Zero each built-in sensor before the prime line is opened.",
        sources=(Source(text="Follows from how the sensor sits in its chamber.", mark="physics"),),
        not_checked="Whether the display was read right, or the sensor is broken.",
        for_every=(),
        shape=Never(state=fact("open", "vent")),
        core=core,
    )


RULES = (
    rule("built-in-sensor-zeroed-wet", "SW101", "A built-in sensor is zeroed wet", Severity.SERIOUS),
    rule("air-reaches-the-patient", "SW102", "Air reaches the patient", Severity.FATAL, core=True),
    rule("vent-left-open", "SW103", "The vent is left open", Severity.SERIOUS),
    rule("pump-dead-headed", "SW104", "The pump runs against a clamp", Severity.MINOR),
)

WORKSPACE = Workspace(unit=UNIT, rigs=(RIG,), rules=RULES, procedures=(PRIME, AIR, *SMALL))

TRACE = Trace(
    lines=(
        TraceLine(
            step="g7h8", who="Nurse", does="opens prime clamp", changes=("The pre-membrane chamber may fill.",), mark="trap"
        ),
        TraceLine(step="m2q8", who="Nurse", does="hangs prime bag"),
        TraceLine(step="k7f3", who="Specialist", does="zeroes pre-membrane sensor", mark="spring"),
    ),
    circuit=("The pre-membrane chamber may hold liquid.", "Prime clamp is open."),
)

BROKEN = Finding(
    rule="built-in-sensor-zeroed-wet",
    code="SW101",
    severity=Severity.SERIOUS,
    message="pre-membrane sensor is zeroed when its chamber is not surely dry.",
    mend="Zero pre-membrane sensor before the prime line is opened.",
    procedure="prime-adult",
    step="k7f3",
    related=(Related(message="here the trap was set", step="g7h8"),),
    trace=TRACE,
)


def verdict(procedure: str, of: Rule, status: Status, **more: object) -> Verdict:
    return Verdict(
        procedure=procedure,
        rule=of.name,
        code=of.code,
        title=of.title,
        sentence=f"In no permitted order: {of.title[0].lower()}{of.title[1:]}.",
        severity=of.severity,
        status=status,
        orders=Orders(number=1234, exact=True),
        rig="adult-bedside",
        rig_version="1.0.0",
        inspected=date(2026, 10, 1),
        **more,  # type: ignore[arg-type]  # test shorthand
    )


PRIME_VERDICTS = (
    verdict("prime-adult", RULES[0], Status.VIOLATED, finding=BROKEN),
    verdict(
        "prime-adult",
        RULES[1],
        Status.HOLDS,
        bites=Bites(step="u6v7", statement="Leaving out this step would let air reach the patient.", trace=TRACE),
    ),
    verdict(
        "prime-adult",
        RULES[2],
        Status.NOT_DECIDED,
        bound=Bound(states=200000, length=14, reason="the limit of 200,000 states was reached"),
    ),
    verdict("prime-adult", RULES[3], Status.NOT_APPLICABLE),
)
HOLDS_VERDICTS = (
    verdict(
        "air-in-return",
        RULES[1],
        Status.HOLDS,
        bites=Bites(step="b2aa", statement="Leaving out this step would let air reach the patient."),
    ),
    verdict("air-in-return", RULES[3], Status.NOT_APPLICABLE),
)
OTHER = Finding(
    rule="long-instruction",
    code="WR033",
    severity=Severity.MINOR,
    message="This line has 23 words.",
    mend="Say it in at most 20 words.",
    procedure="prime-adult",
    step="u6v7",
)

REPORT = CheckReport(
    as_of=AS_OF,
    procedures=(
        ProcedureReport(
            procedure="prime-adult",
            title=PRIME.title,
            checked=True,
            orders=Orders(number=1234, exact=True),
            states=4321,
            verdicts=PRIME_VERDICTS,
            findings=(BROKEN, OTHER),
            pictures=(
                StepPicture(step="k7f3", changes=("Pre-membrane sensor reads nought with a dry chamber.",)),
                StepPicture(step="g7h8", changes=("The line from prime bag to pump fills.", "The pump head fills.")),
            ),
        ),
        ProcedureReport(
            procedure="air-in-return",
            title=AIR.title,
            checked=True,
            orders=Orders(number=1, exact=True),
            states=6,
            verdicts=HOLDS_VERDICTS,
            findings=(),
            pictures=(StepPicture(step="b2aa", changes=("No flow to the patient.",)),),
        ),
    ),
    findings=(BROKEN, OTHER),
)
