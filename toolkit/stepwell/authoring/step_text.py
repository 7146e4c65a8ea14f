"""Steps, actions and conditions as an author writes them in a file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import groupby

from stepwell.authoring.yaml_text import listing, scalar
from stepwell.circuit.entry import Arity
from stepwell.circuit.fact_table import fact
from stepwell.circuit.verb_table import verb
from stepwell.model.predicate import AllOf, Fact, Not, Predicate
from stepwell.model.procedure import Action, Condition, Figure, PartName, Step, Text, Words
from stepwell.model.quantity import Quantity

Numbers = Mapping[str, Quantity]
"""The unit's numbers by name."""


class NoTextError(Exception):
    """Something that these few forms can't write."""


def words_text(words: Words) -> str:
    """Words with ``{part}`` and ``{figure}`` in them again."""
    out: list[str] = []
    for run in words:
        match run:
            case Text(words=text):
                out.append(text)
            case PartName(part=name) | Figure(name=name):
                out.append("{" + name + "}")
    return "".join(out)


def said_text(words: Words) -> str:
    """The words as a value. Braces may stand in a plain value, but not begin it."""
    text = words_text(words)
    bare = text.replace("{", "").replace("}", "")
    return text if text[:1].isalpha() and scalar(bare) == bare else scalar(text)


def step_lines(step: Step, numbers: Numbers) -> tuple[str, ...]:
    """The step as lines; the first begins with its dash."""
    lines = [f"- id: {step.id}", f"  who: {step.who}", f"  say: {said_text(step.say)}"]
    if step.do:
        lines.append(f"  do: {do_text(step.do, step.say, numbers)}")
    if step.expect:
        made = [condition_text(one) for one in step.expect if isinstance(one, Condition)]
        lines.append(f"  expect: {made[0] if len(made) == 1 else '[' + ', '.join(made) + ']'}")
    if step.if_not is not None:
        lines.append(f"  if-not: {said_text(step.if_not.words)}")
    if step.takes is not None:
        first, last = map(str, step.takes)
        lines.append(f"  takes: {first if first == last else f'{first} .. {last}'}")
    return tuple(lines)


def do_text(actions: tuple[Action, ...], say: Words, numbers: Numbers) -> str:
    """The actions; likes with the same options as one, with a list of parts."""
    named = [run.name for run in say if isinstance(run, Figure)]
    made: list[str] = []
    for (name, options), group in groupby(actions, key=lambda one: (one.verb, one.options)):
        entry = verb(name)
        alike = list(group)
        if entry is None:
            raise NoTextError(name)
        given = {key: _value(value, named, numbers) for key, value in options}
        if entry.arity is Arity.NONE:
            own = next(iter(given.values()), "true")
            made += [f"{{{name}: {own}}}"] * len(alike)
            continue
        rest = "".join(f", {key}: {value}" for key, value in given.items())
        if entry.arity is Arity.EACH:
            parts = tuple(part for one in alike for part in one.parts)
            made.append(f"{{{name}: {parts[0] if len(parts) == 1 else listing(parts)}{rest}}}")
        else:
            made += [f"{{{name}: {listing(one.parts)}{rest}}}" for one in alike]
    return made[0] if len(made) == 1 else "[" + ", ".join(made) + "]"


def _value(value: str | bool | Quantity, named: Iterable[str], numbers: Numbers) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return scalar(value)
    return next((name for name in named if numbers.get(name) == value), str(value))


def condition_text(condition: Condition) -> str:
    """The condition on one line."""
    return _predicate(condition.predicate)


def _predicate(predicate: Predicate) -> str:
    match predicate:
        case Fact(name=name, args=args):
            entry = fact(name)
            words = tuple(map(str, args))
            if entry is None or not words:
                raise NoTextError(name)
            return f"{{{name}: {scalar(words[0]) if len(words) == 1 else listing(words)}}}"
        case Not(body=body):
            return f"{{not: {_predicate(body)}}}"
        case AllOf(bodies=bodies) if len(names := {one.name for one in bodies if isinstance(one, Fact)}) == 1:
            parts = tuple(str(one.args[0]) for one in bodies if isinstance(one, Fact) and len(one.args) == 1)
            if len(parts) == len(bodies):
                return f"{{{names.pop()}: {listing(parts)}}}"
            raise NoTextError("a condition of several facts")
        case _:
            raise NoTextError("a condition of several facts")
