"""A page for every version that was ever released, as it was released, with a mark that can't be overlooked.

These pages need nothing of the rest of the site, so that one that is passed on alone still says what it is.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from stepwell.publish.shelf import KeptCard
from stepwell.render.compare.copy import full_copy
from stepwell.render.site.environment import environment
from stepwell.render.site.paths import slug
from stepwell.resources import data_dir


def version_href(card: KeptCard) -> str:
    """The page of a version, from the top of the site."""
    return f"{card.sheet.language}/{slug(card.sheet.id)}/v/{slug(card.sheet.version)}.html"


def versions_href(name: str, language: str = "en") -> str:
    """The list of the versions of a procedure, from the top of the site."""
    return f"{language}/{slug(name)}/v/index.html"


def version_pages(cards: Iterable[KeptCard], as_of: date, trouble: bool) -> dict[str, str]:
    """Every page as finished HTML by its path. ``trouble``: the ledger is not whole, so none is called in force."""
    env = environment(data_dir("site_templates") / "site" / "pages")
    latest = {version_href(card): card for card in cards}
    made: dict[str, str] = {}
    names = dict.fromkeys(card.sheet.id for card in latest.values())
    for path, card in latest.items():
        good = card.in_force and not trouble
        made[path] = env.get_template("version.html").render(
            card=card, copy=full_copy(card.sheet), good=good, banner=_banner(card, trouble), as_of=as_of.isoformat(),
            here=f"../../{slug(card.sheet.id)}.html",
        )  # fmt: skip
    for name in names:
        mine = [(path.rpartition("/")[2], card) for path, card in latest.items() if card.sheet.id == name]
        sheet = mine[-1][1].sheet
        made[versions_href(name, sheet.language)] = env.get_template("versions.html").render(
            title=sheet.title,
            versions=[(href, card.sheet.version, _banner(card, trouble), card.effective.isoformat()) for href, card in mine],
            here=f"../../{slug(name)}.html",
            as_of=as_of.isoformat(),
        )
    return made


def _banner(card: KeptCard, trouble: bool) -> str:
    if trouble:
        return "CANNOT TELL WHETHER THIS IS IN FORCE. Something is wrong with the ledger."
    if card.in_force:
        since = f"In force since {card.effective.isoformat()}, as of the day of this copy."
        return f"{since} Print the released card, not this page."
    if card.reason:
        return f"WITHDRAWN. DO NOT USE. Take every copy down. Reason: {card.reason}"
    if card.state == "not yet in force":
        return f"NOT YET IN FORCE. It counts from {card.effective.isoformat()}."
    now = f" In force is version {card.now}." if card.now else " No version is in force."
    return f"{card.state.upper()}. DO NOT USE. Take every copy down.{now}"
