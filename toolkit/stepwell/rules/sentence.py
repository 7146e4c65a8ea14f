"""The sentence by which a committee reads a rule, made from the rule itself so that it can't say anything else."""

from __future__ import annotations

import re
from collections import Counter

from stepwell.circuit.catalogue import verb
from stepwell.circuit.entry import Arity
from stepwell.model.predicate import ALWAYS, AnyOf, Not, Predicate, Ref, Selector
from stepwell.model.rule import (
    AtTheEnd,
    Becomes,
    BeforeDoing,
    Enough,
    Match,
    Never,
    NeverLonger,
    Order,
    Rule,
    Within,
)
from stepwell.rules.clause import clauses, listed
from stepwell.rules.nouns import noun, phrase, short_noun, with_article

_OPTION = re.compile(r" (?:(?:to|at|for) )?\{(?:to|at|for|wet)\}")


def sentence(rule: Rule) -> str:
    """One English sentence. "Must be certain" is meant: what only may be so does not count."""
    names = _names(rule.for_every)
    opening: list[str] = []
    if rule.procedures:
        opening.append(f"in {listed(list(rule.procedures), 'and')} procedures")
    if rule.policy:
        opening.append("where the unit's policy is " + listed([f"{topic}: {word}" for topic, word in rule.policy], "and"))
    if rule.for_every:
        opening.append("for " + listed([_introduced(name, over, names) for name, over in rule.for_every], "and"))
    if rule.when != ALWAYS:
        context = listed(list(clauses(rule.when, names)), "and")
        opening.append("while " + context.removeprefix("either "))
    words = ", ".join([*opening, _main_clause(rule, names)])
    return f"{words[:1].upper()}{words[1:]}."


def _names(for_every: tuple[tuple[str, Selector], ...]) -> dict[str, str]:
    """What each variable is called after it was introduced; letters tell two of a kind apart."""
    shorts = {name: short_noun(over) for name, over in for_every}
    twice = {short for short, number in Counter(shorts.values()).items() if number > 1}
    return {name: f"the {short} {name.upper()}" if short in twice else f"the {short}" for name, short in shorts.items()}


def _introduced(name: str, over: Selector, names: dict[str, str]) -> str:
    letter = f" {name.upper()}" if names[name].endswith(f" {name.upper()}") else ""
    return f"every {noun(over)}{letter}"


def _main_clause(rule: Rule, names: dict[str, str]) -> str:
    match rule.shape:
        case Never(state=state):
            return f"it must be certain at all times that {_not(state, names)}"
        case Becomes(event=event, unless=AnyOf(bodies=())):
            return f"it must never become possible that {_that(event, names)}"
        case Becomes(event=event, unless=unless):
            return f"it must be certain that {_that(unless, names)} before it becomes possible that {_that(event, names)}"
        case BeforeDoing(verb=name, part=part, require=require):
            return f"just before somebody {_does(name, part, names)}, it must be certain that {_that(require, names)}"
        case AtTheEnd(require=require, hand_over=hand_over):
            where = "at the end of the card" + (" and at hand-over" if hand_over else "")
            return f"{where} it must be certain that {_that(require, names)}"
        case Order(first=first, then=then):
            return f"somebody {_does(*then, names)} only after somebody {_does(*first, names)}"
        case NeverLonger(state=state, than=than):
            lasts = f"it must not be possible for longer than {than} that {_that(state, names)}"
            return f"{lasts}, nor once whoever caused it goes on to another step"
        case Within(of=of, comes=comes, time=time):
            soon = f"at most {time} later it must be certain that {_that(comes, names)}"
            return f"once it becomes possible that {_that(of, names)}, {soon}"
        case Enough(variable=variable, over=over, that=that, stock=stock):
            said = _that(that, {**names, variable: with_article(noun(over))})
            return f"it must be certain at all times that {said} in no more cases than {phrase(stock, names)}"
        case Match(of=of, with_=with_, word=word, same=same):
            return _matching(of, with_, word, same, names)


def _matching(of: Ref, with_: Ref, word: str | None, same: bool, names: dict[str, str]) -> str:
    lead = "" if word is None else f"the {word} of "
    must = "must be" if same else "must not be"
    return f"{lead}{phrase(of, names)} {must} {'' if word is None else 'the same as '}{lead}{phrase(with_, names)}"


def _that(predicate: Predicate, names: dict[str, str]) -> str:
    said = clauses(predicate, names)
    return ", that ".join(said[:-1]) + f" and that {said[-1]}" if len(said) > 1 else "".join(said)


def _not(predicate: Predicate, names: dict[str, str]) -> str:
    return _that(Not(predicate), names)


def _does(name: str, part: Ref | None, names: dict[str, str]) -> str:
    """The verb in the third person, without its options: "turns the tap"."""
    entry = verb(name)
    if entry is None:
        return f"does {name}"
    places = [with_article(" or ".join(kind.replace("-", " ") for kind in kinds)) for kinds in entry.pairs]
    if part is not None and places:
        places[0] = phrase(part, names)
        if entry.arity is Arity.PAIR and entry.pairs[0] == entry.pairs[1]:
            places[1] = "another"
    return _OPTION.sub("", entry.does).format(*places)
