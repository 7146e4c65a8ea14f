"""A run told step by step: who does what, and what the circuit looks like then."""

from __future__ import annotations

from stepwell.circuit.contents import said
from stepwell.circuit.equipment import gas_flows, parts_of
from stepwell.circuit.hydraulics import FLOWS
from stepwell.circuit.kinds import part_kind
from stepwell.circuit.layout import BARE, FIRST_MATE, Layout, State
from stepwell.circuit.settle import Event
from stepwell.circuit.verb_table import verb
from stepwell.circuit.view import View
from stepwell.model.predicate import AllOf, AnyOf, Fact, Not, Predicate, Quantified
from stepwell.model.procedure import Action
from stepwell.model.tri import Tri


def does(layout: Layout, actions: tuple[Action, ...]) -> str:
    """The actions in the third person, as in "opens the prime clamp"."""
    return " and at once ".join(_does(layout, action) for action in actions)


def _does(layout: Layout, action: Action) -> str:
    entry = verb(action.verb)
    if entry is None:
        return action.verb
    labels = [named(layout, part) for part in action.parts]
    options = {name: str(value) for name, value in action.options}
    if options.get("to") == "all":
        options["to"] = "all ways open"
    sentence = entry.does.format(*labels, **{"to": "", "at": "", "for": "", **options})
    waited = action.option("for")
    if waited is not None and "{for}" not in entry.does:
        sentence += f" for {waited}"
    return sentence


def named(layout: Layout, part: str) -> str:
    """The part as people call it, with an article."""
    label = layout.labels.get(part, part)
    return label if label.startswith("the ") else f"the {label}"


def changes(layout: Layout, before: State, after: State, events: frozenset[Event]) -> tuple[str, ...]:
    """What the circuit did because of an action, one short sentence per thing; likes are told together."""
    told: dict[str, list[str]] = {}
    for number, variable in enumerate(layout.variables):
        if before[number] == after[number] or variable.name in ("ran", "cycles"):
            continue
        if variable.name == "contents":
            told.setdefault(said(after[number]), []).append(named(layout, variable.part))
        elif variable.name == "zero":
            word = variable.words[after[number]]
            told.setdefault("is " + ("zeroed" if word == "zeroed" else "falsely zeroed"), []).append(
                named(layout, variable.part)
            )
    lines = [f"{_listed(parts)} {_plural(words, len(parts))}" for words, parts in told.items()]
    flow_before, flow_after = View(layout, before).water.flow, View(layout, after).water.flow
    if flow_before != flow_after:
        names = [name for bit, name in enumerate(FLOWS) if flow_after >> bit & 1]
        lines.append("the flow is " + " or ".join(names) if names != ["none"] else "there is no flow")
    for gas in parts_of(layout, "gas-supply"):
        flowed, flows = (gas_flows(View(layout, one), gas.id) for one in (before, after))
        if flowed != flows:
            lines.append("sweep gas flows" if flows else "no sweep gas flows any more")
    for event in sorted(events):
        may = "may enter" if event.certainty is not Tri.YES else "enters"
        if event.kind == "air-entered":
            lines.append(f"air {may} at {named(layout, event.part)}")
        elif event.kind == "gas-through-fibres":
            lines.append(f"gas may come through the fibres of {named(layout, event.part)}")
        elif event.kind == "spilled":
            out = "may run out" if event.certainty is not Tri.YES else "runs out"
            lines.append(f"liquid {out} at {named(layout, event.part)}")
        elif event.kind == "reversed":
            lines.append("the flow turns backwards")
        elif event.kind == "hammered":
            lines.append("the flow is stopped short at speed")
        elif event.kind == "joined-dry":
            lines.append(f"{named(layout, event.part)} is joined with air in the joint")
    return tuple(dict.fromkeys(lines))


def _listed(parts: list[str]) -> str:
    if len(parts) > 4:
        return f"{', '.join(parts[:3])} and {len(parts) - 3} more"
    return parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + " and " + parts[-1]


def _plural(words: str, number: int) -> str:
    if number == 1:
        return words
    for one, many in (("holds", "hold"), ("is ", "are ")):
        if words.startswith(one):
            return many + words.removeprefix(one)
    return words


def circuit_now(layout: Layout, state: State, parts: tuple[str, ...]) -> tuple[str, ...]:
    """The state of the given parts in words."""
    lines: list[str] = []
    for name in dict.fromkeys(parts):
        part = layout.rig.part(name)
        kind = None if part is None else part_kind(part.kind)
        if part is None or kind is None:
            continue
        for variable, words in kind.variables:
            value = state[layout.variable(name, variable)]
            match variable:
                case "contents":
                    lines.append(f"{named(layout, name)} {said(value)}")
                case "speed":
                    lines.append(f"{named(layout, name)} " + (f"runs at {value} rpm" if value else "stands still"))
                case "mate":
                    joined = value >= FIRST_MATE
                    other = named(layout, layout.ends[value - FIRST_MATE].part) if joined else ""
                    how = f"is joined to {other}" if joined else "is open" if value == BARE else "is covered"
                    lines.append(f"{named(layout, name)} {how}")
                case "source":
                    number = layout.variable(name, variable)
                    source = layout.variables[number].words[value]
                    how = f"is on {named(layout, source)}" if value else "is on no gas source"
                    lines += [f"{named(layout, name)} {how}"] if len(layout.variables[number].words) > 1 else []
                case _:
                    meaning = dict(kind.states).get(words[value], words[value])
                    lines.append(f"{named(layout, name)}: {meaning}")
    return tuple(lines)


def parts_in(predicate: Predicate) -> tuple[str, ...]:
    """The argument words of a ground predicate's facts, in order."""
    match predicate:
        case Fact(args=args):
            return tuple(ref.name for ref in args)
        case Not(body=body) | Quantified(body=body):
            return parts_in(body)
        case AllOf(bodies=bodies) | AnyOf(bodies=bodies):
            return tuple(dict.fromkeys(name for body in bodies for name in parts_in(body)))
