"""The cards in force, checked again: what the present tool says beside what was said when they were released."""

from __future__ import annotations

from collections.abc import Sequence

from stepwell.compare.edits import Edit
from stepwell.publish.recheck import Rechecked, VerdictThen
from stepwell.render.text.look import Look
from stepwell.render.text.wrap import plain_ascii, wrap


def render_recheck(cards: Sequence[Rechecked], rules: Sequence[Edit], tool: str, look: Look) -> str:
    """The report as text that ends in a newline. ``rules`` are the changes of the tool's rules since the last release."""
    out = [look.paint(line, "strong") for line in wrap(f"Cards in force, checked again with {tool}", look.width)]
    bad = any(card.worse for card in cards)
    out += [look.paint(line, "bad" if bad else "good") for line in wrap(_answer(cards), look.width)]
    out.append("")
    for card in sorted(cards, key=lambda one: (not one.worse, not one.unknown, not one.changes, one.procedure)):
        out += _card(card, look)
    if rules:
        out += ["", look.paint("Rules of the tool, changed since the last release", "strong")]
        for edit in sorted(rules, key=lambda one: (not one.weaker, one.document)):
            name = edit.document.partition(" ")[2]
            out += wrap(f"{name}: {edit.field or edit.subject}, {edit.sort.value}", look.width, "  - ")
            for why in edit.weaker:
                out += [look.paint(line, "bad") for line in wrap(why, look.width, "    WEAKER: ")]
    text = "\n".join(line.rstrip() for line in [*out, "", *wrap(_KEPT, look.width)]) + "\n"
    return text if look.full else plain_ascii(text)


_KEPT = (
    "Nothing was changed: the released cards stay as they are, byte for byte. A card whose verdict is worse should be"
    " withdrawn, or mended and proposed. The verdicts are about the model."
)


def _answer(cards: Sequence[Rechecked]) -> str:
    if not cards:
        return "No card is in force."
    worse = sum(card.worse for card in cards)
    unknown = sum(bool(card.unknown) for card in cards)
    other = sum(bool(card.changes) and not card.worse for card in cards)
    same = len(cards) - worse - unknown - other
    told = [
        f"{number} {words}"
        for number, words in (
            (worse, "WORSE than at the release"),
            (unknown, "can't be told"),
            (other, "with other verdicts, none worse"),
            (same, "with the same verdicts"),
        )
        if number
    ]
    return f"{len(cards)} {'card' if len(cards) == 1 else 'cards'}: {', '.join(told)}."


def _card(card: Rechecked, look: Look) -> list[str]:
    head = f"{card.procedure} {card.version}, in force since {card.effective.isoformat()}: "
    if card.unknown:
        return [*wrap(f"{head}CANNOT TELL. {card.unknown}", look.width, "  ? ")]
    said = f"{card.same} verdicts as they were" + (f", {len(card.changes)} not" if card.changes else "")
    mark = "  ! " if card.worse else "  - "
    out = [*wrap(f"{head}{said}." + (f" New since: {', '.join(card.parts)}." if card.parts else ""), look.width, mark)]
    for one in card.changes:
        lines = wrap(_verdict(one), look.width, "      ! " if one.worse else "      - ")
        out += [look.paint(line, "bad") if one.worse else line for line in lines]
    return out


def _verdict(one: VerdictThen) -> str:
    old = one.old or "nothing to look at, or no such rule"
    new = one.new or "nothing to look at any more, or no such rule"
    return f"{one.title}: {old} → {new.upper() if one.worse and one.new else new}"
