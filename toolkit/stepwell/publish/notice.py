"""The words that everything printed or shown carries, and how a card is used."""

from __future__ import annotations

from stepwell.model.language import ENGLISH, Language
from stepwell.model.procedure import Use

SAFETY_NOTICE: tuple[str, ...] = (
    "Not a medical device.",
    "Does not replace the maker's instructions, local policy or licensed judgement.",
    "Figures are the unit's.",
)

USE_SENTENCES: dict[Use, str] = {
    Use.READ_AND_DO: "Read each line aloud, then do it.",
    Use.CALL_AND_REPLY: "One person calls each line, the other does it and replies.",
    Use.DO_THEN_CONFIRM: "Do it from memory, then confirm each line against the card.",
}


def notice_lines(unit_notice: str, language: Language = ENGLISH) -> tuple[str, ...]:
    """The tool's notice, followed by the unit's own words if there are any."""
    own = unit_notice.strip()
    told = tuple(language.say("card", line) for line in SAFETY_NOTICE)
    return (*told, own) if own else told
