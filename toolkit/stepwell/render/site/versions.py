"""A page for every version that was ever released, as it was released, with a mark that can't be overlooked.

These pages need nothing of the rest of the site, so that one that is passed on alone still says what it is.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from functools import partial

from stepwell.publish.sheet import Sheet
from stepwell.publish.shelf import KeptCard
from stepwell.render.compare.copy import full_copy
from stepwell.render.site.environment import environment
from stepwell.render.site.paths import slug
from stepwell.resources import data_dir
from stepwell.source.read_fixed_words import fixed_words


def version_href(card: KeptCard) -> str:
    """The page of a version, from the top of the site."""
    return f"{card.sheet.language}/{slug(card.sheet.id)}/v/{slug(card.sheet.version)}.html"


def versions_href(name: str, language: str = "en") -> str:
    """The list of the versions of a procedure, from the top of the site."""
    return f"{language}/{slug(name)}/v/index.html"


def version_pages(cards: Iterable[KeptCard], as_of: date, trouble: bool) -> dict[str, str]:
    """Every page as finished HTML by its path, each in the language of its card.

    ``trouble``: the ledger is not whole, so none is called in force.
    """
    env = environment(data_dir("site_templates") / "site" / "pages")
    latest = {version_href(card): card for card in cards}
    made: dict[str, str] = {}
    for path, card in latest.items():
        good = card.in_force and not trouble
        made[path] = env.get_template("version.html").render(
            card=card, copy=full_copy(card.sheet), good=good, banner=_banner(card, trouble), as_of=as_of,
            here=f"../../{slug(card.sheet.id)}.html", **_said(card.sheet),
        )  # fmt: skip
    for name, language in dict.fromkeys((card.sheet.id, card.sheet.language) for card in latest.values()):
        mine = [
            (path.rpartition("/")[2], card)
            for path, card in latest.items()
            if (card.sheet.id, card.sheet.language) == (name, language)
        ]
        sheet = mine[-1][1].sheet
        made[versions_href(name, language)] = env.get_template("versions.html").render(
            title=sheet.title,
            versions=[(href, card.sheet.version, _banner(card, trouble), card.effective) for href, card in mine],
            here=f"../../{slug(name)}.html",
            as_of=as_of,
            **_said(sheet),
        )
    return made


def _said(sheet: Sheet) -> dict[str, object]:
    language = fixed_words(sheet.language)
    return {"language": language, "t": partial(language.say, "site")}


def _banner(card: KeptCard, trouble: bool) -> str:
    language = fixed_words(card.sheet.language)

    def say(english: str, **slots: str) -> str:
        return language.say("site", english, **slots)

    day = language.day(card.effective)
    if trouble:
        return say("CANNOT TELL WHETHER THIS IS IN FORCE. Something is wrong with the ledger.")
    if card.in_force:
        return say("In force since {day}, as of the day of this copy. Print the released card, not this page.", day=day)
    if card.reason:
        return say("WITHDRAWN. DO NOT USE. Take every copy down. Reason: {reason}", reason=card.reason)
    if card.state == "not yet in force":
        return say("NOT YET IN FORCE. It counts from {day}.", day=day)
    now = say("In force is version {version}.", version=card.now) if card.now else say("No version is in force.")
    state = say(card.state).upper()
    return f"{say('{state}. DO NOT USE. Take every copy down.', state=state)} {now}"
