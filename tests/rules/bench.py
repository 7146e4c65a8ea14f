"""A small rig and rules for the tests of the engine, made by hand."""

from __future__ import annotations

from stepwell.diagnostics.severity import Certainty, Severity
from stepwell.model.predicate import ALWAYS, Fact, Predicate, Ref, Selector
from stepwell.model.rig import Part, Rig
from stepwell.model.rule import Rule, Shape
from stepwell.model.tri import Tri
from stepwell.rules.evaluate import Ask

YES, NO, MAYBE = Tri.YES, Tri.NO, Tri.MAYBE


def part(id_: str, kind: str, *traits: str, **refs: str) -> Part:
    """A part; a reference to several is written with spaces between."""
    pairs = tuple((name, tuple(value.split())) for name, value in refs.items())
    return Part(id=id_, kind=kind, label=id_.replace("-", " "), traits=traits, refs=pairs)


RIG = Rig(
    id="bench",
    title="Bench",
    version="1",
    parts=(
        part("line", "line", "main"),
        part("oxygenator", "oxygenator", "main"),
        part("vent", "vent", of="oxygenator"),
        part("first", "pressure-sensor", "built-in", site="line"),
        part("second", "pressure-sensor", "built-in", site="line oxygenator"),
        part("third", "pressure-sensor", "fluid-line"),
        part("tap", "tap"),
        part("pump", "drive"),
        part("clamp", "clamp", "on-main-path"),
        part("side-clamp", "clamp"),
        part("bag", "bag"),
    ),
    chains=(),
    baselines=(),
)


def fact(name: str, *args: str) -> Fact:
    """``fact("dry", "s.site")``."""
    refs = [Ref(*arg.split(".")) for arg in args]
    return Fact(name, tuple(refs))


def rule(
    shape: Shape, when: Predicate = ALWAYS, message: str = "", procedures: tuple[str, ...] = (), **variables: Selector
) -> Rule:
    """A rule of no importance."""
    return Rule(
        name="made-up",
        code="U001",
        hazards=(),
        title="Made up",
        severity=Severity.SERIOUS,
        certainty=Certainty.COULD,
        harm="",
        control="",
        sources=(),
        not_checked="",
        for_every=tuple(variables.items()),
        shape=shape,
        when=when,
        message=message,
        procedures=procedures,
    )


def state(**values: Tri) -> Ask:
    """Answers by fact name and first argument: ``state(open_vent=YES)``; everything else is NO."""

    def ask(name: str, args: tuple[str, ...]) -> Tri:
        return values.get("_".join((name, *args)).replace("-", "_"), NO)

    return ask
