"""What the search looks through: folded words per page, and the unit's synonyms spread over the pages they fit."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Iterable

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

SMALL = ("a", "an", "and", "for", "from", "in", "into", "is", "of", "on", "or", "the", "to", "with")
"""Words that say nothing when asked for."""

_KINDS = {"emergency": "Emergency", "routine": "Procedure", "check": "Check"}
_RANKS = {"emergency": 2.0, "routine": 1.2, "check": 1.0}
_WORD = re.compile(r"[^\W_]+(?:-[^\W_]+)*")

Entry = dict[str, str | float]


def fold(text: str) -> str:
    """Lower case without accents; subscripts and ligatures as plain letters (NFKD), as the page's script folds too."""
    spread = unicodedata.normalize("NFKD", text)
    return "".join(c for c in spread if not "\u0300" <= c <= "\u036f").lower()


def words_of(text: str) -> tuple[str, ...]:
    """The words of a text, folded; a hyphenated id stays one word."""
    return tuple(_WORD.findall(fold(text)))


def procedure_entry(sheet: Sheet, href: str, synonyms: tuple[Synonym, ...]) -> Entry:
    """The entry of one procedure."""
    lines = lines_of(sheet.items)
    use = spoken(sheet.use_when)
    body = " ".join([spoken(line.text) for line in lines] + [spoken(one.text) for line in lines for one in line.expect])
    also, aside = _synonyms(synonyms, f"{sheet.title} {sheet.id} {use}", body)
    return _entry(
        title=sheet.title,
        id=sheet.id,
        kind=_KINDS.get(sheet.kind, "Procedure"),
        rank=_RANKS.get(sheet.kind, 1.0),
        href=href,
        use=use if len(use) < 120 else use[:117].rsplit(" ", 1)[0] + " …",
        steps=" ".join(line.id for line in lines),
        also=also,
        heads=_bag(_heads(sheet.items)),
        text=_bag([body, aside]),
    )


def rule_entry(rule: Rule, href: str, synonyms: tuple[Synonym, ...]) -> Entry:
    """The entry of one rule."""
    also, aside = _synonyms(synonyms, f"{rule.title} {rule.name}", rule.harm)
    return _entry(
        title=rule.title,
        id=f"{rule.name} {rule.code.lower()}",
        kind="Rule",
        rank=0.4,
        href=href,
        also=also,
        text=_bag([rule.harm, rule.control, aside]),
    )


def sum_entry(one: Sum, href: str, synonyms: tuple[Synonym, ...]) -> Entry:
    """The entry of one sum about equipment."""
    labels = [given.label for given in one.given]
    also, aside = _synonyms(synonyms, f"{one.formula.title} {one.formula.name}", " ".join(labels))
    return _entry(
        title=one.formula.title,
        id=one.formula.name,
        kind="Sum",
        rank=0.4,
        href=href,
        also=also,
        text=_bag([*labels, *(show.label for show in one.shown), aside]),
    )


def index_script(entries: Iterable[Entry]) -> str:
    """The data as a script, since a page opened from a stick may not fetch."""
    data = json.dumps({"small": SMALL, "docs": list(entries)}, ensure_ascii=True, separators=(",", ":"))
    return f"window.stepwellIndex={data};\n"


def _entry(**values: str | float) -> Entry:
    return {name: value for name, value in values.items() if value != ""}


def _bag(texts: Iterable[str]) -> str:
    """Each word once: how often a word is said on a card does not make the card a better answer."""
    return " ".join(dict.fromkeys(word for text in texts for word in words_of(text) if word not in SMALL))


def _synonyms(synonyms: tuple[Synonym, ...], head: str, body: str) -> tuple[str, str]:
    """The words of every group of synonyms of which the page says one: in its head (all the words, in any order), or
    else in its body (the phrase as it stands), which is the weaker sign."""
    said = {part for word in _stems(head) for part in (word, *word.split("-"))}
    running = f" {' '.join(_stems(body))} "
    strong: dict[str, None] = {}
    weak: dict[str, None] = {}
    for group in synonyms:
        phrases = [_stems(phrase) for phrase in group.words]
        words = dict.fromkeys(word for phrase in group.words for word in words_of(phrase) if word not in SMALL)
        if any(phrase and said.issuperset(phrase) for phrase in phrases):
            strong.update(words)
        elif any(phrase and f" {' '.join(phrase)} " in running for phrase in phrases):
            weak.update(words)
    return " ".join(strong), " ".join(weak)


def _stems(text: str) -> tuple[str, ...]:
    """The words that count, without the ``s`` of the plural, so that "bubble alarm" meets "bubbles"."""
    kept = (word for word in words_of(text) if word not in SMALL)
    return tuple(word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word for word in kept)


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
