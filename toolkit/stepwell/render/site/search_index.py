"""What the search looks through: folded words per page, and the unit's synonyms spread over the pages they fit."""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import partial

from stepwell.model.language import Language
from stepwell.model.rule import Rule
from stepwell.model.unit import Synonym
from stepwell.publish.sheet import (
    AnyOrderBlock,
    HoldBar,
    Items,
    LanesBlock,
    QuestionBlock,
    RepeatBlock,
    Sheet,
    StageBlock,
    lines_of,
    spoken,
)
from stepwell.quantities.sums import Sum
from stepwell.render.site.speech import Speech

_KINDS = {"emergency": "Emergency", "routine": "Procedure", "check": "Check"}
_RANKS = {"emergency": 2.0, "routine": 1.2, "check": 1.0}

Entry = dict[str, str | float]


def procedure_entry(sheet: Sheet, href: str, synonyms: tuple[Synonym, ...], speech: Speech) -> Entry:
    """The entry of one procedure."""
    lines = lines_of(sheet.items)
    use = spoken(sheet.use_when)
    body = " ".join([spoken(line.text) for line in lines] + [spoken(one.text) for line in lines for one in line.expect])
    also, aside = _synonyms(synonyms, f"{sheet.title} {sheet.id} {use}", body, speech)
    return _entry(
        title=sheet.title,
        id=sheet.id,
        kind=_KINDS.get(sheet.kind, "Procedure"),
        rank=_RANKS.get(sheet.kind, 1.0),
        href=href,
        use=use if len(use) < 120 else use[:117].rsplit(" ", 1)[0] + " …",
        steps=" ".join(line.id for line in lines),
        also=also,
        heads=_bag(_heads(sheet.items), speech),
        text=_bag([body, aside], speech),
    )


def rule_entry(rule: Rule, href: str, synonyms: tuple[Synonym, ...], language: Language, speech: Speech) -> Entry:
    """The entry of one rule. Where one of its texts has no translation it is found by its code alone: its English words
    must not come before a card's."""
    texts = (rule.title, rule.harm, rule.control)
    # The question "CO2" on the German pages means the card: at 0.15 three rules still came before it.
    rank = 0.4 if language.english else 0.08
    if not all(language.knows("rule", text) for text in texts):
        title = language.say("rule", rule.title)
        return _entry(title=title, id=rule.code.lower(), kind="Rule", rank=0.04, href=href)
    title, harm, control = (language.say("rule", text) for text in texts)
    also, aside = _synonyms(synonyms, f"{title} {rule.name}" if language.english else title, harm, speech)
    return _entry(
        title=title,
        id=f"{rule.name} {rule.code.lower()}" if language.english else rule.code.lower(),
        kind="Rule",
        rank=rank,
        href=href,
        also=also,
        text=_bag([harm, control, aside], speech),
    )


def sum_entry(one: Sum, href: str, synonyms: tuple[Synonym, ...], language: Language, speech: Speech) -> Entry:
    """The entry of one sum about equipment."""
    say = partial(language.say, "sum")
    title, labels = say(one.formula.title), [say(given.label) for given in one.given]
    also, aside = _synonyms(synonyms, f"{title} {one.formula.name}", " ".join(labels), speech)
    return _entry(
        title=title,
        id=one.formula.name,
        kind="Sum",
        rank=0.4,
        href=href,
        also=also,
        text=_bag([*labels, *(say(show.label) for show in one.shown), aside], speech),
    )


def index_script(entries: Iterable[Entry], speech: Speech) -> str:
    """The data as a script, since a page opened from a stick may not fetch."""
    found = {"small": speech.small, "spelling": dict(speech.spelling), "parts": speech.parts, "docs": list(entries)}
    data = json.dumps(found, ensure_ascii=True, separators=(",", ":"))
    return f"window.stepwellIndex={data};\n"


def _entry(**values: str | float) -> Entry:
    return {name: value for name, value in values.items() if value != ""}


def _bag(texts: Iterable[str], speech: Speech) -> str:
    """Each word once: how often a word is said on a card does not make the card a better answer."""
    return " ".join(dict.fromkeys(word for text in texts for word in speech.words(text) if word not in speech.small))


def _synonyms(synonyms: tuple[Synonym, ...], head: str, body: str, speech: Speech) -> tuple[str, str]:
    """The words of every group of synonyms of which the page says one: in its head (all the words, in any order), or
    else in its body (the phrase as it stands), which is the weaker sign."""
    said = {part for word in speech.stems(head) for part in (word, *word.split("-"))}
    running = f" {' '.join(speech.stems(body.replace('-', ' ') if speech.parts else body))} "
    strong: dict[str, None] = {}
    weak: dict[str, None] = {}
    for group in synonyms:
        phrases = [speech.stems(phrase) for phrase in group.words]
        words = dict.fromkeys(word for phrase in group.words for word in speech.words(phrase) if word not in speech.small)
        if any(phrase and said.issuperset(phrase) for phrase in phrases):
            strong.update(words)
        elif any(phrase and f" {' '.join(phrase)} " in running for phrase in phrases):
            weak.update(words)
    return " ".join(strong), " ".join(weak)


def _heads(items: Items) -> list[str]:
    found: list[str] = []
    for item in items:
        match item:
            case StageBlock(title=title, items=inner) | AnyOrderBlock(title=title, items=inner):
                found += [title, *_heads(inner)]
            case RepeatBlock(title=title, items=inner):
                found += [title, *_heads(inner)]
            case LanesBlock(lanes=lanes):
                found += [head for lane in lanes for head in _heads(lane.items)]
            case QuestionBlock(text=text, outcomes=outcomes):
                found += [spoken(text), *(head for outcome in outcomes for head in _heads(outcome.items))]
            case HoldBar(title=title):
                found.append(spoken(title))
            case _:
                pass
    return found
