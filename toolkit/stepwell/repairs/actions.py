"""Which single actions there are on a rig, as the unit's procedures do them, and the words for each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import permutations

from stepwell.circuit.entry import Arity, Verb
from stepwell.circuit.verb_table import VERBS, verb
from stepwell.model.procedure import Action, PartName, Procedure, Run, Step, Text, Words, steps_of
from stepwell.model.rig import Rig

Options = tuple[tuple[str, object], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """A step of the unit that does one verb, all its actions with the same options: what a new one is worded after."""

    verb: str
    options: Options
    parts: tuple[str, ...]
    step: Step
    procedure: str


def models_of(procedures: tuple[Procedure, ...], first: str) -> tuple[Model, ...]:
    """Every step that can serve as a model; those of the procedure ``first`` come first."""
    found: list[Model] = []
    for procedure in sorted(procedures, key=lambda one: one.id != first):
        for step in steps_of(procedure.body):
            if not step.do or step.at_once or any(action.via for action in step.do):
                continue
            names = {(action.verb, action.options) for action in step.do}
            parts = tuple(part for action in step.do for part in action.parts)
            said = [run.part for run in step.say if isinstance(run, PartName)]
            if len(names) == 1 and len(set(parts)) == len(parts) and sorted(said) == sorted(parts):
                done, options = next(iter(names))
                found.append(Model(verb=done, options=options, parts=parts, step=step, procedure=procedure.id))
    return tuple(found)


def actions_of(rig: Rig, models: tuple[Model, ...]) -> Iterator[Action]:
    """Every action that the rig's parts permit, with the options that the unit's own steps use for such a verb."""
    for entry in VERBS:
        seen = list(dict.fromkeys(one.options for one in models if one.verb == entry.name))
        if not seen and not any(option.required for option in entry.options):
            seen = [()]
        for parts in _parts(rig, entry):
            for options in seen:
                yield Action(verb=entry.name, parts=parts, options=options)  # type: ignore[arg-type]


def _parts(rig: Rig, entry: Verb) -> Iterator[tuple[str, ...]]:
    kinds = {part.id: part.kind for part in rig.parts}
    match entry.arity:
        case Arity.NONE:
            yield ()
        case Arity.EACH:
            yield from ((part,) for part, kind in kinds.items() if kind in entry.pairs[0])
        case Arity.PAIR:
            for one, other in permutations(kinds, 2):
                same = entry.pairs[0] == entry.pairs[1] and one > other
                if not same and kinds[one] in entry.pairs[0] and kinds[other] in entry.pairs[1]:
                    yield (one, other)


def model_for(actions: tuple[Action, ...], rig: Rig, models: tuple[Model, ...], kinds: dict[str, str]) -> Model | None:
    """The step whose words fit best: as many parts of the same kinds; the same parts before others."""
    parts = [part for action in actions for part in action.parts]

    def fits(model: Model) -> bool:
        like = [kinds.get(part) for part in model.parts] == [kinds.get(part) for part in parts]
        return like and model.verb == actions[0].verb and model.options == actions[0].options

    found = [model for model in models if fits(model)]
    return min(
        found, key=lambda model: sum(one != other for one, other in zip(model.parts, parts, strict=True)), default=None
    )


def say(actions: tuple[Action, ...], model: Model | None) -> Words:
    """What is read aloud: the words of the model with the parts put in, or the verb's first word and the parts."""
    parts = [part for action in actions for part in action.parts]
    if model is not None:
        put = dict(zip(model.parts, parts, strict=True))
        return tuple(PartName(put[run.part]) if isinstance(run, PartName) else run for run in model.step.say)
    entry = verb(actions[0].verb)
    word = entry.words[0] if entry is not None else actions[0].verb
    words: list[Text | PartName] = [Text(word.capitalize() + " ")]
    for number, part in enumerate(parts):
        between = "" if number == 0 else " and " if number == len(parts) - 1 else ", "
        words += [Text(between)] if between else []
        words.append(PartName(part))
    return joined((*words, Text(".")))


def joined(words: Words) -> Words:
    """The words with neighbouring plain ones as one, as they are read from a file."""
    out: list[Run] = []
    for run in words:
        last = out[-1] if out else None
        if isinstance(run, Text) and isinstance(last, Text):
            out[-1] = Text(last.words + run.words)
        else:
            out.append(run)
    return tuple(out)


def step_of(step_id: str, who: str, actions: tuple[Action, ...], model: Model | None) -> Step:
    """The new step; the time it takes is the model's."""
    made = Step(id=step_id, who=who, say=say(actions, model), do=actions)
    return made if model is None else replace(made, takes=model.step.takes)
