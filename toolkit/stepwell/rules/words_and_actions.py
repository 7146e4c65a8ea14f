"""The words that are read aloud and the actions that are checked must say the same, or the verdict is about another card."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import permutations, takewhile

from stepwell.circuit.catalogue import VERBS
from stepwell.circuit.entry import Arity, Verb
from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.diagnostics.span import Span
from stepwell.model.predicate import AllOf, AnyOf, Fact, Not, Predicate, Quantified
from stepwell.model.procedure import Action, Condition, PartName, Procedure, Reading, Sight, Step, Text, Words, steps_of
from stepwell.model.rig import Rig

NAME = "words-and-actions-disagree"
CODE = "SW301"
SUMMARY = "What a step says and what it does differ, so the order that was checked is not the one that people follow."

_WORD = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*")
_OPPOSITES = {"on": "off", "off": "on"}
_ALL_OF_THEM = frozenset({"all", "both", "each", "every"})


@dataclass(frozen=True, slots=True)
class _Named:
    """A part named in the words, and the words around it: those before it, nearest last."""

    part: str
    before: tuple[str, ...]
    after: tuple[str, ...] = ()
    """The words from it to the next part."""


def words_and_actions(procedure: Procedure, rig: Rig, verbs: Sequence[Verb] = VERBS) -> tuple[Finding, ...]:
    """One finding per disagreement, in the order of the page. Nothing is said of a procedure that is wording only."""
    if procedure.wording_only:
        return ()
    check = _Check(rig, verbs)
    return tuple(
        Finding(
            rule=NAME,
            code=CODE,
            severity=Severity.SERIOUS,
            message=message,
            mend=mend,
            span=span or step.span,
            procedure=procedure.id,
            step=step.id,
        )
        for step in steps_of(procedure.body)
        for message, mend, span in check.step(step)
    )


Disagreement = tuple[str, str, Span | None]


class _Check:
    def __init__(self, rig: Rig, verbs: Iterable[Verb]) -> None:
        self.labels = {part.id: part.label for part in rig.parts}
        self.kinds = {part.id: part.kind for part in rig.parts}
        self.verbs = {verb.name: verb for verb in verbs}

    def step(self, step: Step) -> Iterator[Disagreement]:
        """Everything on which the words and the actions of one step differ."""
        spoken = tuple(_named(step.say))
        yield from self._said_not_done(step, spoken)
        yield from self._done_not_said(step, {named.part for named in spoken})
        yield from self._verbs_not_said(step)
        yield from self._other_verb_said(step, spoken)
        yield from self._opposite_said(step)

    def _said_not_done(self, step: Step, spoken: tuple[_Named, ...]) -> Iterator[Disagreement]:
        touched = {part for action in step.do for part in (*action.parts, *(action.via.parts if action.via else ()))}
        looked_at = set(_expected(step))
        only_looks = not step.do and any(isinstance(one, Sight) for one in step.expect)
        for part in dict.fromkeys(named.part for named in spoken):
            before = next(named.before for named in spoken if named.part == part)
            acted = next((word for word in reversed(before) if word in self._words_for(part)), None)
            if part in touched or part in looked_at or (only_looks and acted is None):
                continue
            name = self._label(part)
            # At the end of the list of words stands the nearest one, which is what the reader is told to do.
            told = f"The words say “{acted} … {name}”" if acted else f"The words name {name}"
            action = self._action_of(acted, part, spoken)
            what = f"`{action}` to `do`" if action else f"{name} to `do` or `expect`"
            mend = f"Add {what}, or take {name} out of `say`."
            yield f"{told}, but the step neither does anything to it nor expects anything of it.", mend, step.say_span

    def _done_not_said(self, step: Step, named: set[str]) -> Iterator[Disagreement]:
        collective = bool(_ALL_OF_THEM & set(_words(step.say)))
        for action in step.do:
            if collective and self._one_of_several_like(action, step.do):
                continue
            if _stands_for(action, named, collective):
                continue
            for part in action.parts:
                if part not in named:
                    name = self._label(part)
                    message = f"The step {self._does(action)}, but the words do not name {name}."
                    yield message, f"Name it as {{{part}}} in `say`, or take the action out of `do`.", step.say_span

    def _verbs_not_said(self, step: Step) -> Iterator[Disagreement]:
        said = set(_words(step.say))
        told: set[str] = set()
        unsaid = [action for action in step.do if not said & {*self._leading(action.verb), *_short_words(action)}]
        if step.at_once and len(unsaid) < len(step.do):
            # One word may stand for a movement that is several actions, such as clamping while stopping.
            return
        for action in unsaid:
            verb = self.verbs.get(action.verb)
            if verb is None or verb.arity is Arity.NONE or action.verb in told:
                continue
            told.add(action.verb)
            words = _listed([f"“{word}”" for word in verb.words])
            mend = f"Use {words} in `say`, or correct the verb in `do`."
            yield f"The step {self._does(action)}, but the words do not say so.", mend, step.say_span

    def _other_verb_said(self, step: Step, spoken: tuple[_Named, ...]) -> Iterator[Disagreement]:
        """The nearest verb before a part is the one that the reader obeys: “open a and shut b”."""
        for named in spoken:
            actions = [action for action in step.do if named.part in action.parts]
            fitting = self._words_for(named.part)
            acted = next((word for word in reversed(named.before) if word in fitting), None)
            if actions and all(action.option("ensure") for action in actions):
                # "Make sure {a} is open": here the word stands behind the part.
                acted = next((word for word in named.after if word in fitting), acted)
            if not actions or acted is None:
                continue
            if any(acted in (*self._leading(action.verb), *_short_words(action)) for action in actions):
                continue
            if not any(set(self._leading(action.verb)) & set(_words(step.say)) for action in actions):
                continue  # already told by _verbs_not_said
            name = self._label(named.part)
            message = f"The words say “{acted} … {name}”, but the step {self._does(actions[0])}."
            yield message, "Correct `say` or the verb in `do`, so that both say the same.", step.say_span

    def _opposite_said(self, step: Step) -> Iterator[Disagreement]:
        """“Turn … off” has the verb of “turn … on”: the little word says which of the two is meant."""
        said = set(_words(step.say))
        for action in step.do:
            head, _, last = action.verb.rpartition("-")
            opposite = _OPPOSITES.get(last, "")
            own = set(self._leading(action.verb))
            shared = own & set(self._leading(f"{head}-{opposite}"))
            if opposite in said and last not in said and said & shared and not said & (own - shared):
                message = f"The words say “{opposite}”, but the step {self._does(action)}."
                yield message, "Correct `say` or the verb in `do`, so that both say the same.", step.say_span

    def _one_of_several_like(self, action: Action, actions: tuple[Action, ...]) -> bool:
        def like(other: Action) -> bool:
            kinds = {self.kinds.get(part) for one in (action, other) for part in one.parts}
            return other.verb == action.verb and len(kinds) == 1

        return sum(like(other) for other in actions) > 1

    def _action_of(self, word: str | None, part: str, spoken: tuple[_Named, ...]) -> str | None:
        """The action that the word means: of this part, or of it and another one that is named."""
        for verb in self.verbs.values():
            if word not in verb.words:
                continue
            if len(verb.pairs) == 1 and self.kinds.get(part) in verb.pairs[0]:
                return f"{{{verb.name}: {part}}}"
            for first, second in permutations(dict.fromkeys(named.part for named in spoken), 2):
                fits = len(verb.pairs) == 2 and all(
                    self.kinds.get(one) in kinds for one, kinds in zip((first, second), verb.pairs, strict=True)
                )
                if fits and part in (first, second):
                    return f"{{{verb.name}: [{first}, {second}]}}"
        return None

    def _words_for(self, part: str) -> frozenset[str]:
        """Leading words of every verb that can be done to a part of this kind."""
        kind = self.kinds.get(part)
        return frozenset(
            word for verb in self.verbs.values() if any(kind in place for place in verb.pairs) for word in verb.words
        )

    def _leading(self, verb: str) -> tuple[str, ...]:
        entry = self.verbs.get(verb)
        return () if entry is None else entry.words

    def _label(self, part: str) -> str:
        label = self.labels.get(part, part)
        return label if label.lower().startswith("the ") else f"the {label}"

    def _does(self, action: Action) -> str:
        entry = self.verbs.get(action.verb)
        if entry is None:
            return action.verb
        options = {"to": "", "at": "", "for": ""} | {name: str(value) for name, value in action.options}
        return " ".join(entry.does.format(*map(self._label, action.parts), **options).split())


def _stands_for(action: Action, named: set[str], collective: bool) -> bool:
    """True if the words name what stands for the action's parts in the short form that it was written as."""
    via = action.via
    return via is not None and ((via.every and collective) or (bool(via.parts) and named.issuperset(via.parts)))


def _short_words(action: Action) -> tuple[str, ...]:
    return action.via.verbs if action.via is not None else ()


def _named(words: Words) -> Iterator[_Named]:
    before: list[str] = []
    for at, run in enumerate(words):
        if isinstance(run, PartName):
            after = takewhile(lambda one: not isinstance(one, PartName), words[at + 1 :])
            yield _Named(run.part, tuple(before), tuple(_words(tuple(after))))
        elif isinstance(run, Text):
            before += _split(run.words)


def _words(words: Words) -> list[str]:
    return [word for run in words if isinstance(run, Text) for word in _split(run.words)]


def _split(text: str) -> list[str]:
    return [word.lower() for word in _WORD.findall(text)]


def _expected(step: Step) -> Iterator[str]:
    """Parts that the step's expectations look at."""
    for one in step.expect:
        match one:
            case Condition(predicate=predicate):
                yield from _arguments(predicate)
            case Reading(part=part):
                yield part
            case Sight(words=words):
                yield from (named.part for named in _named(words))


def _arguments(predicate: Predicate) -> Iterator[str]:
    match predicate:
        case Fact(args=args):
            yield from (ref.name for ref in args)
        case Not(body=body) | Quantified(body=body):
            yield from _arguments(body)
        case AllOf(bodies=bodies) | AnyOf(bodies=bodies):
            for body in bodies:
                yield from _arguments(body)


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"
