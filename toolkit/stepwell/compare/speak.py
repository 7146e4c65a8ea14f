"""Values of the model in words for people: labels as on the parts, figures with their units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import date
from enum import Enum
from typing import Any

from stepwell.diagnostics.severity import Severity
from stepwell.model.predicate import AllOf, AnyOf, Fact, Not, Predicate, Quantified, Selector
from stepwell.model.procedure import (
    Action,
    Condition,
    Figure,
    KitItem,
    Otherwise,
    PartName,
    Reading,
    Sight,
    Starts,
    Text,
    Warn,
    plain,
)
from stepwell.model.quantity import Quantity
from stepwell.model.rig import Setting
from stepwell.rules.clause import clauses, listed

NOTHING = "(nothing)"


@dataclass(frozen=True, slots=True, kw_only=True)
class Speaker:
    """Says values of one side. ``labels`` of parts, ``figures`` of numbers, ``titles`` of cards, ``roles`` by id."""

    labels: Mapping[str, str]
    figures: Mapping[str, str]
    titles: Mapping[str, str]
    roles: Mapping[str, str]

    def value(self, value: Any) -> str:
        """Any value of the model in words; never empty, and never two different values alike by leaving something out."""
        match value:
            case None | "" | ():
                return NOTHING
            case bool():
                return "yes" if value else "no"
            case Severity():
                return value.word
            case Enum():
                return str(value.value)
            case str():
                return value
            case Quantity() | int() | float():
                return str(value)
            case date():
                return value.isoformat()
            case Fact() | Not() | AllOf() | AnyOf() | Quantified():
                return self.predicate(value)
            case tuple():
                return self.several(value)
        return self.thing(value)

    def field(self, name: str, value: Any) -> str:
        """The value of a field; roles are called by their labels."""
        if name in ("who", "confirm") and isinstance(value, str):
            return self.roles.get(value, value)
        if name in ("agree", "people") and value:
            return ", ".join(self.roles.get(one, one) for one in value)
        return self.value(value)

    def several(self, value: tuple[Any, ...]) -> str:
        """Words are read on, figures of a range too; other things are listed."""
        if all(isinstance(one, Text | PartName | Figure) for one in value):
            return plain(value, dict(self.labels), dict(self.figures))
        if len(value) == 2 and all(isinstance(one, Quantity) for one in value):
            return str(value[0]) if value[0] == value[1] else f"{value[0]} to {value[1]}"
        joint = ", " if all(isinstance(one, str) for one in value) else "; "
        return joint.join(self.value(one) for one in value)

    def thing(self, value: Any) -> str:
        """One dataclass of the model; a kind that is not known here is told field by field."""
        match value:
            case Action():
                return self.action(value)
            case Condition(predicate=predicate):
                return self.predicate(predicate)
            case Reading():
                return f"{self.label(value.part)} reads {self.range(value)}"
            case Sight(words=words):
                return f"see: {self.value(words)}"
            case Otherwise(words=words, step=step, card=card):
                if step is not None:
                    return f"go on at step {step}"
                return self.value(words) if card is None else f"take the card “{self.titles.get(card, card)}”"
            case Warn():
                said = " ".join(self.value(one) for one in (value.hazard, value.consequence, value.avoidance))
                return f"[{value.severity}] {said}"
            case KitItem(name=name, amount=amount, part=part):
                return f"{amount} × {name or self.label(part or '')}"
            case Setting(part=part, word=word):
                return f"{self.label(part)}: {word}"
            case Starts():
                return self.starts(value)
            case Selector(kind=kind, traits=traits, without=without):
                asked = " ".join((*traits, kind or "part"))
                return asked + (f" without {', '.join(without)}" if without else "")
        if is_dataclass(value) and not isinstance(value, type):
            told = [f"{f.name.replace('_', ' ')} {self.value(getattr(value, f.name))}" for f in fields(value) if f.compare]
            return f"{type(value).__name__.lower()}: " + ", ".join(told)
        return str(value)

    def label(self, part: str) -> str:
        """What is written on a part."""
        return self.labels.get(part, part)

    def predicate(self, predicate: Predicate) -> str:
        """A condition as clauses."""
        names = {part: label if label.startswith("the ") else f"the {label}" for part, label in self.labels.items()}
        try:
            return listed(list(clauses(predicate, names)), "and") or "always"
        except (IndexError, TypeError):  # a condition that no file could hold; it is still told
            return str(predicate)

    def action(self, action: Action) -> str:
        """``run pump (at 1800 rpm)``."""
        told = [name if value is True else f"{name} {self.value(value)}" for name, value in action.options]
        parts = ", ".join(self.label(part) for part in action.parts)
        options = f"({', '.join(told)})" if told else ""
        return " ".join(filter(None, (action.verb.replace("-", " "), parts, options)))

    def range(self, reading: Reading) -> str:
        """``1500 rpm to 4000 rpm``, ``at least ...``, ``at most ...``."""
        low, high = reading.at_least, reading.at_most
        if low is not None and high is not None:
            return f"{low} to {high}"
        return f"at least {low}" if low is not None else f"at most {high}" if high is not None else "anything"

    def starts(self, starts: Starts) -> str:
        """From where, what differs, and what is left open."""
        told = [f"from {starts.baseline}"] if starts.baseline else []
        told += [f"as {starts.procedure} leaves it"] if starts.procedure else []
        told += [self.thing(setting) for setting in starts.settings]
        told += [f"{self.label(part)}: any of {', '.join(words)}" for part, words in starts.open_settings]
        return "; ".join(told)
