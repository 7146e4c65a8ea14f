"""Small hand-built procedures, so that the tests of sheets and cards need no files."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from stepwell.model.predicate import AllOf, Fact, Not, Predicate, Ref
from stepwell.model.procedure import (
    Action,
    AnyOrder,
    Body,
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
    Run,
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
from stepwell.model.rig import Part, Rig, Setting
from stepwell.model.unit import Number, Role, Unit
from stepwell.model.workspace import Workspace

AS_OF = date(2026, 11, 25)

PARTS = (
    Part(id="prime-bag", kind="bag", label="prime bag", place="hook on the mast"),
    Part(id="prime-clamp", kind="clamp", label="prime clamp", place="blue, under the prime bag"),
    Part(id="drain-clamp", kind="clamp", label="drain clamp"),
    Part(id="return-clamp", kind="clamp", label="return clamp", place="red, at the table edge"),
    Part(id="vent", kind="vent", label="oxygenator vent", place="yellow cover, top of the oxygenator"),
    Part(id="oxygenator", kind="oxygenator", label="oxygenator"),
    Part(id="pump", kind="drive", label="pump"),
    Part(id="drain-pressure", kind="pressure-sensor", label="drain pressure sensor"),
    Part(id="cylinder", kind="gas-supply", label="oxygen cylinder", place="under the trolley"),
)


def say(text: str) -> Words:
    """``Open {prime-clamp}.`` as runs; a name that is no part is a number."""
    runs: list[Run] = []
    known = {part.id for part in PARTS}
    for index, piece in enumerate(text.replace("}", "{").split("{")):
        if index % 2:
            runs.append(PartName(piece) if piece in known else Figure(piece))
        elif piece:
            runs.append(Text(piece))
    return tuple(runs)


def fact(name: str, *args: str) -> Fact:
    return Fact(name, tuple(Ref(arg) for arg in args))


def expect(*predicates: Predicate) -> tuple[Condition, ...]:
    return tuple(Condition(predicate=predicate) for predicate in predicates)


def action(verb: str, *parts: str) -> Action:
    return Action(verb=verb, parts=parts)


def quantity(value: str, unit: str) -> Quantity:
    return Quantity(Decimal(value), unit)


def procedure(body: Body, **changes: object) -> Procedure:
    """A routine procedure around a body."""
    given: dict[str, object] = {
        "id": "prime-adult",
        "title": "Prime the adult set",
        "version": "1.0.0",
        "kind": Kind.ROUTINE,
        "rig": "adult-bedside",
        "use": Use.CALL_AND_REPLY,
        "use_when": say("A dry set is needed within the hour."),
        "do_not_use_when": say("The set has held blood. Use a new set."),
        "people": ("primer", "assistant"),
        "fewest_people": 2,
        "kit": (),
        "starts": None,
        "ends": (),
        "cautions": (),
        "sources": (),
        "done_call": say("The set is primed and clamped."),
        "body": body,
        **changes,
    }
    return Procedure(**given)  # type: ignore[arg-type]


def workspace(*procedures: Procedure) -> Workspace:
    """A unit with four roles, one rig, and these procedures."""
    unit = Unit(
        name="Northmoor ECMO unit",
        region="eu",
        languages=("en",),
        roles=(
            Role(id="primer", label="Sterile primer", mark="SP"),
            Role(id="assistant", label="Assistant", mark="A"),
            Role(id="nurse", label="Bedside nurse", mark="N"),
            Role(id="specialist", label="ECMO specialist", mark="E"),
        ),
        numbers=(
            Number(name="fill-speed", value=quantity("2800", "rpm")),
            Number(name="sweep-start", value=quantity("4", "L/min")),
        ),
        reading_distance=quantity("60", "cm"),
    )
    rig = Rig(
        id="adult-bedside",
        title="Adult bedside set",
        version="1.0.0",
        parts=PARTS,
        chains=(),
        baselines=(),
        inspected=date(2026, 10, 1),
    )
    return Workspace(unit=unit, rigs=(rig,), rules=(), procedures=procedures)


def emergency() -> Procedure:
    """Air in the return line: one person, one side."""
    return procedure(
        id="air-in-return",
        title="Air is seen in the return line",
        version="2.1.0",
        kind=Kind.EMERGENCY,
        use=Use.READ_AND_DO,
        use_when=say("Bubbles are seen between the oxygenator and the patient."),
        do_not_use_when=say("Air is only in the drain line. Use card Air in the drain line."),
        people=("specialist", "nurse"),
        fewest_people=1,
        done_call=say("Air is out, flow is back."),
        ends=(fact("open", "return-clamp"), fact("running", "pump")),
        kit=(KitItem(name="tube clamp", amount="2"), KitItem(name="50 mL syringe")),
        body=(
            Stage(
                title="At once",
                body=(
                    Step(
                        id="a1aa",
                        who="specialist",
                        say=say("Shut {return-clamp}."),
                        do=(action("shut", "return-clamp"),),
                        expect=expect(fact("shut", "return-clamp")),
                    ),
                    Step(
                        id="a2bb",
                        who="specialist",
                        say=say("Stop {pump}."),
                        do=(action("stop", "pump"),),
                        expect=expect(fact("stopped", "pump")),
                    ),
                    Step(
                        id="a3cc",
                        who="specialist",
                        say=say("Call for help: “Air in the circuit”."),
                        expect=(Sight(words=say("someone answers")),),
                    ),
                ),
            ),
            Stage(
                title="Find the air",
                body=(
                    Step(
                        id="b1aa",
                        who="nurse",
                        say=say("Shut {drain-clamp}."),
                        do=(action("shut", "drain-clamp"),),
                        expect=expect(fact("shut", "drain-clamp")),
                        why=say("a stopped pump lets blood run back."),
                    ),
                    Choose(
                        id="q1aa",
                        who="specialist",
                        question=say("Has air passed {return-clamp}?"),
                        outcomes=(
                            Outcome(label="Yes", card="air-in-patient"),
                            Outcome(label="No"),
                        ),
                    ),
                    Step(
                        id="b2bb",
                        who="specialist",
                        say=say("Open {vent} and let the air out."),
                        do=(action("open", "vent"),),
                        expect=(Sight(words=say("liquid at the vent, no bubbles")),),
                        if_not=Otherwise(words=say("Change the set.")),
                        warn=(
                            Warn(
                                hazard=say("The vent draws air when its space is below the air's pressure."),
                                consequence=say("More air enters."),
                                avoidance=say("Do not open it while the pump runs."),
                                severity="fatal",
                            ),
                        ),
                    ),
                ),
            ),
            Hold(
                id="h1aa",
                title=say("The line is clear"),
                until=(*expect(fact("shut", "vent")), Sight(words=say("no bubble from pump to clamp"))),
                agree=("specialist", "nurse"),
                abort=say("Stay clamped and call the surgeon."),
            ),
            Stage(
                title="Go back on flow",
                body=(
                    Step(
                        id="c1aa",
                        who="specialist",
                        say=say("Run {pump} at {fill-speed}."),
                        do=(action("run", "pump"),),
                        expect=expect(fact("running", "pump")),
                    ),
                    Step(
                        id="c2bb",
                        who="specialist",
                        say=say("Open {drain-clamp}, then {return-clamp}."),
                        do=(action("open", "drain-clamp"), action("open", "return-clamp")),
                        expect=expect(fact("open", "return-clamp")),
                        confirm="nurse",
                    ),
                ),
            ),
        ),
    )


def routine() -> Procedure:
    """Priming: every sort of block once."""
    fill = (
        Step(
            id="f1aa",
            who="primer",
            say=say("Open {prime-clamp}."),
            do=(action("open", "prime-clamp"),),
            expect=expect(fact("filled", "oxygenator")),
            if_not=Otherwise(step="k1aa"),
            why=say("the oxygenator fills from below, so that air leaves at the top."),
            takes=(quantity("30", "s"), quantity("2", "min")),
            missed=say("Shut {prime-clamp} and look for a kink."),
        ),
        Step(
            id="f2bb",
            who="primer",
            say=say("Shut {vent}."),
            do=(action("shut", "vent"),),
            expect=expect(fact("shut", "vent")),
            confirm="assistant",
            warn=(
                Warn(
                    hazard=say("An open vent below the air's pressure draws air."),
                    consequence=say("Air reaches the patient."),
                    avoidance=say("Do not leave it open."),
                    severity="fatal",
                ),
            ),
        ),
    )
    return procedure(
        kit=(
            KitItem(name="prime-bag", amount="2", part="prime-bag"),
            KitItem(name="tube clamp", amount="6"),
            KitItem(name="sterile gown and gloves", amount="1"),
            KitItem(name="crystalloid", amount="2000 mL"),
            KitItem(name="Torch"),
        ),
        cautions=(say("The set is sterile inside. Do not touch an open end."),),
        starts=Starts(
            baseline="unpacked",
            settings=(Setting(part="vent", word="open"),),
            open_settings=(("prime-clamp", ("open", "shut")),),
        ),
        ends=(fact("shut", "vent"), Not(fact("open", "prime-clamp"))),
        body=(
            AnyOrder(
                title="Get ready",
                body=(
                    Step(
                        id="k1aa",
                        who="assistant",
                        say=say("Hang {prime-bag}."),
                        do=(action("hang", "prime-bag"),),
                        expect=expect(fact("hung", "prime-bag")),
                    ),
                    Step(
                        id="k2bb",
                        who="primer",
                        say=say("Shut {prime-clamp}, {drain-clamp} and {return-clamp}."),
                        do=tuple(action("shut", name) for name in ("prime-clamp", "drain-clamp", "return-clamp")),
                        expect=expect(AllOf((fact("shut", "prime-clamp"), fact("shut", "return-clamp")))),
                    ),
                    Step(
                        id="k3cc",
                        who="assistant",
                        say=say("Check {cylinder}."),
                        expect=(Reading(part="cylinder", at_least=quantity("150", "bar")),),
                        if_not=Otherwise(words=say("Fetch another cylinder.")),
                    ),
                ),
            ),
            Stage(title="Fill by gravity", body=fill),
            Hold(
                id="h1aa",
                title=say("The set is full"),
                until=expect(fact("filled", "oxygenator"), fact("shut", "vent")),
                agree=("primer", "assistant"),
                abort=say("Shut {prime-clamp} and begin with a new set."),
            ),
            Lanes(
                title="Run and listen",
                lanes=(
                    Lane(
                        who="primer",
                        body=(
                            Step(
                                id="l1aa",
                                who="primer",
                                say=say("Run {pump} at {fill-speed}."),
                                do=(action("run", "pump"),),
                                expect=expect(fact("running", "pump")),
                            ),
                            Step(
                                id="l2bb",
                                who="primer",
                                say=say("Tap {oxygenator} from below."),
                                expect=(Sight(words=say("no bubbles rise")),),
                            ),
                        ),
                    ),
                    Lane(
                        who="assistant",
                        body=(
                            Step(
                                id="m1aa",
                                who="assistant",
                                say=say("Plug in {drain-pressure}."),
                                do=(action("plug", "drain-pressure"),),
                                expect=expect(fact("plugged", "drain-pressure")),
                            ),
                            Step(
                                id="m2bb",
                                who="assistant",
                                say=say("Read {drain-pressure}."),
                                expect=(
                                    Reading(
                                        part="drain-pressure",
                                        at_least=quantity("-5", "mmHg"),
                                        at_most=quantity("5", "mmHg"),
                                    ),
                                ),
                                if_not=Otherwise(words=say("Change the cable.")),
                            ),
                        ),
                    ),
                ),
            ),
            Repeat(
                id="r1aa",
                title="Clear the air",
                until=fact("air-free", "oxygenator"),
                at_most=3,
                body=(
                    Step(
                        id="s1aa",
                        who="primer",
                        say=say("Stop {pump} for 10 s."),
                        do=(action("stop", "pump"),),
                        expect=expect(fact("stopped", "pump")),
                    ),
                    Step(
                        id="s2bb",
                        who="primer",
                        say=say("Run {pump} at {fill-speed}."),
                        do=(action("run", "pump"),),
                        expect=expect(fact("running", "pump")),
                    ),
                ),
            ),
            Choose(
                id="q1aa",
                who="assistant",
                question=say("Is there air in {oxygenator}?"),
                outcomes=(
                    Outcome(
                        label="Yes",
                        body=(
                            Step(
                                id="t1aa",
                                who="primer",
                                say=say("Open {vent} for 5 s."),
                                do=(action("open", "vent"), action("shut", "vent")),
                                expect=expect(fact("shut", "vent")),
                            ),
                        ),
                    ),
                    Outcome(label="No"),
                ),
            ),
            Stage(
                title="Leave it ready",
                body=(
                    Step(
                        id="u1aa",
                        who="primer",
                        say=say("Shut {prime-clamp}."),
                        do=(action("shut", "prime-clamp"),),
                        expect=expect(fact("shut", "prime-clamp")),
                    ),
                    Step(
                        id="u2bb",
                        who="assistant",
                        say=say("Write the time on the set."),
                        optional=True,
                        after=("u1aa",),
                    ),
                ),
            ),
        ),
    )
