"""Predicates, expectations and quantities in words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from stepwell.circuit.catalogue import fact as fact_entry
from stepwell.model.language import ENGLISH, Language
from stepwell.model.predicate import AllOf, AnyOf, Fact, Not, Predicate, Quantified, Ref, Selector
from stepwell.model.procedure import Condition, Expectation, Figure, PartName, Reading, Sight, Words
from stepwell.model.procedure import Text as PlainText
from stepwell.model.quantity import Quantity
from stepwell.publish.sheet import ExpectLine, FigureRun, LabelRun, SheetRun, SheetText, TextRun

_SLOT = re.compile(r"\{(\w+)\}")
_IT = "\0it"
"""What a part is called that a quantifier speaks of; no label can be that."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Names:
    """What ids are called: ``labels`` of parts, ``figures`` of the unit's numbers (value with unit); in which language."""

    labels: Mapping[str, str]
    figures: Mapping[str, str]
    language: Language = ENGLISH

    def say(self, english: str, **slots: str) -> str:
        """Words of a generated sentence."""
        return self.language.say("sentence", english, **slots)


def figure(quantity: Quantity, language: Language = ENGLISH) -> FigureRun:
    """A quantity as printed."""
    return FigureRun(printed(str(quantity), language))


def printed(number: str, language: Language = ENGLISH) -> str:
    """A number with a real minus sign (a hyphen is easily lost in a dim room) and the decimal sign of the language."""
    return language.number(number.replace("-", "\u2212"))


def weave(template: str, slots: Mapping[str, SheetText]) -> SheetText:
    """The template with every ``{name}`` replaced by the runs of that slot."""
    out: list[SheetRun] = []
    for index, piece in enumerate(_SLOT.split(template)):
        out.extend(slots.get(piece, ()) if index % 2 else (TextRun(piece),))
    return tidy(out)


def resolve(words: Words, names: Names) -> SheetText:
    """Author's words with labels and values in place; an unknown id is kept as it is, so that nothing is lost."""
    out: list[SheetRun] = []
    for run in words:
        match run:
            case PlainText(words=text):
                out.append(TextRun(text))
            case PartName(part=part):
                out.append(LabelRun(names.labels.get(part, part), part))
            case Figure(name=name):
                out.append(FigureRun(names.figures.get(name, name), name))
    return tidy(out)


def tidy(runs: list[SheetRun]) -> SheetText:
    """Join neighbouring plain runs and drop empty ones, so that equal texts are equal values."""
    out: list[SheetRun] = []
    for run in runs:
        if not run.words:
            continue
        last = out[-1] if out else None
        if isinstance(run, TextRun) and isinstance(last, TextRun):
            out[-1] = TextRun(last.words + run.words)
        else:
            out.append(run)
    return tuple(out)


def sentence(predicate: Predicate, names: Names, *, wanted: bool = True) -> SheetText:
    """The predicate (or, with ``wanted`` False, its contrary) as a clause without a full stop."""
    match predicate:
        case Fact():
            return _atom(predicate, names, wanted)
        case Not(body=body):
            return sentence(body, names, wanted=not wanted)
        case AllOf(bodies=bodies):
            return _joined(bodies, names, wanted, "and" if wanted else "or")
        case AnyOf(bodies=bodies):
            return _joined(bodies, names, wanted, "or" if wanted else "and")
        case Quantified(every=every, variable=variable, over=over, body=body):
            said = "of every {kind}: " if every is wanted else "of at least one {kind}: "
            inner = replace(names, labels={**names.labels, variable: _IT})
            head = names.say(said, kind=_selection(over, names))
            return tidy([TextRun(head), *sentence(body, inner, wanted=wanted)])


def expect_lines(expected: Expectation, names: Names, named: frozenset[str] = frozenset()) -> tuple[ExpectLine, ...]:
    """What to observe; conditions that are joined by "and" become one line each.

    ``named`` are the parts that the line names already, so that the value behind the leader need not repeat them.
    """
    match expected:
        case Condition(predicate=predicate):
            return tuple(_condition(part, names, named) for part in conjuncts(predicate))
        case Reading():
            return (_reading(expected, names, named),)
        case Sight(words=words):
            text = resolve(words, names)
            return (ExpectLine(text=text, value=text, sort="sight"),)


def conjuncts(predicate: Predicate) -> tuple[Predicate, ...]:
    """The parts of a condition that are joined by "and", each on its own."""
    if isinstance(predicate, AllOf) and predicate.bodies:
        return tuple(inner for body in predicate.bodies for inner in conjuncts(body))
    return (predicate,)


def join_lists(texts: list[SheetText], word: str) -> SheetText:
    """``a``, ``a and b``, ``a, b and c``."""
    out: list[SheetRun] = []
    for index, text in enumerate(texts):
        if index:
            out.append(TextRun(f" {word} " if index == len(texts) - 1 else ", "))
        out.extend(text)
    return tidy(out)


def _joined(bodies: tuple[Predicate, ...], names: Names, wanted: bool, word: str) -> SheetText:
    if not bodies:
        return (TextRun(names.say("always") if (word == "and") is wanted else names.say("never")),)
    return join_lists([sentence(body, names, wanted=wanted) for body in bodies], names.say(word))


def _atom(atom: Fact, names: Names, wanted: bool) -> SheetText:
    entry = fact_entry(atom.name)
    if entry is None:
        args = join_lists([_argument(arg, names) for arg in atom.args], names.say("and"))
        return tidy([TextRun(("" if wanted else "not ") + atom.name.replace("-", " ") + ": "), *args])
    template = names.language.say("fact", entry.yes if wanted else entry.no)
    return weave(template, {str(at): _argument(arg, names) for at, arg in enumerate(atom.args)})


def _argument(ref: Ref, names: Names) -> SheetText:
    label = names.labels.get(ref.name)
    if ref.attr is not None:
        attr = names.language.say("kind", ref.attr.replace("-", " "))
        if label == _IT:
            return (TextRun(names.say("its {attr}", attr=attr)),)
        return (TextRun(names.say("the {owner}'s {attr}", owner=label or ref.name, attr=attr)),)
    if label == _IT:
        return (TextRun(names.say("it")),)
    if label is None:
        return (TextRun(names.language.say("state", ref.name)),)
    return (LabelRun(label, ref.name),)


def _selection(over: Selector, names: Names) -> str:
    def kind(word: str) -> str:
        return names.language.say("kind", word)

    words = " ".join([*map(kind, over.traits), kind((over.kind or "part").replace("-", " "))])
    if not over.without:
        return words
    return names.say("{kind} that is not {trait}", kind=words, trait=f" {names.say('or')} ".join(map(kind, over.without)))


def _condition(predicate: Predicate, names: Names, named: frozenset[str]) -> ExpectLine:
    text = sentence(predicate, names)
    return ExpectLine(text=text, value=_shortened(text, named, names), sort="fact")


def _shortened(text: SheetText, named: frozenset[str], names: Names) -> SheetText:
    # Only where one part is named: behind a line on two clamps, "shut" would not say which.
    match text:
        case (LabelRun(part=part), TextRun(words=rest), *tail) if named == {part}:
            words = rest.lstrip()
            return tidy([TextRun(words.removeprefix(names.say("is "))), *tail])
    return text


def _reading(expected: Reading, names: Names, named: frozenset[str]) -> ExpectLine:
    low, high = expected.at_least, expected.at_most
    value: SheetText
    if low is not None and high is not None:
        shared = f"{low.value:f}" if low.unit == high.unit else str(low)
        value = (FigureRun(printed(names.say("{low} to {high}", low=shared, high=str(high)), names.language)),)
    elif low is not None:
        value = weave(names.say("at least {value}"), {"value": (figure(low, names.language),)})
    elif high is not None:
        value = weave(names.say("at most {value}"), {"value": (figure(high, names.language),)})
    else:
        value = (TextRun(names.say("read it")),)
    label = LabelRun(names.labels.get(expected.part, expected.part), expected.part)
    text = weave(names.say("{part} reads {value}"), {"part": (label,), "value": value})
    return ExpectLine(text=text, value=value if named == {expected.part} else text, sort="reading")
