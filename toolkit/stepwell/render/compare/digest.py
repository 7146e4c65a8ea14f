"""What a change means, in one sentence under the answer: so that one screen tells it, however long the list is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from stepwell.compare.results import Comparison, Turn

_TURNS = {Turn.REVERSED: "turned round", Turn.FREED: "no longer fixed", Turn.BOUND: "newly fixed"}


def digest_of(found: Comparison) -> str:
    """Verdicts, orders of steps, slips and prints, each with its count; what was not compared is said."""
    meaning = found.meaning
    worse = sum(one.worse for one in meaning.verdicts)
    verdicts = _told([(worse, "worse"), (len(meaning.verdicts) - worse, "other")]) or "none changed"
    turns = Counter(one.turn for one in meaning.orders)
    orders = _told([(turns[turn], words) for turn, words in _TURNS.items()]) or "none changed"
    silent = sum(one.worse for one in meaning.slips)
    lost = len(meaning.unsafe)
    counts = [
        (silent, "newly silent"),
        (len(meaning.slips) - silent, "no longer silent"),
        (lost, "card not to be compared" if lost == 1 else "cards not to be compared"),
    ]
    slips = _told(counts) or "none changed"
    places = {label for card in found.cards for label in card.hangs}
    hang = f", old prints in {len(places)} {'place' if len(places) == 1 else 'places'}" if places else ""
    told = [
        f"verdicts: {verdicts if meaning.compared or meaning.verdicts else 'none searched'}",
        f"order of steps: {orders}",
        f"slips: {slips if meaning.slips_compared else 'not compared'}",
        f"cards to re-print: {len(found.cards) or 'none'}{hang}",
    ]
    return f"What follows: {'; '.join(told)}."


def _told(counts: Iterable[tuple[int, str]]) -> str:
    return ", ".join(f"{number} {words}" for number, words in counts if number)
