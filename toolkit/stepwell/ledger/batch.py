"""One approval for many cards that say what they said: only the layout, the rules' files or the tool are new.

A batch is a proposal whose subject is ``batch``; its parts hold, for each procedure, the version, the content and the
parts that are to be released. Each card of it is released by an entry of its own that names the batch as its proposal.
"""

from __future__ import annotations

from stepwell.ledger.canonical import Json, digest
from stepwell.ledger.entry import Entry
from stepwell.ledger.prints import not_the_same
from stepwell.model.review import Quorum, ReviewPolicy, Seat

BATCH = "batch"
"""The subject of an entry that is about many cards."""
SAME = ("model", "text", "verdicts")
"""What must be as it was."""


def batch_content(items: dict[str, Json]) -> str:
    """The one hash over all that a batch releases."""
    return digest(items)


def batch_quorum(proposal: Entry, policy: ReviewPolicy, kinds: dict[str, str]) -> Quorum | None:
    """The seats that every card of a batch asks for, together; None if one has no quorum at all."""
    seats: dict[str, int] = {}
    for name in proposal.mapping("parts"):
        asked = policy.quorum(kinds.get(name, "routine"))
        if asked is None:
            return None
        for seat in asked.seats:
            seats[seat.role] = max(seats.get(seat.role, 0), seat.count)
    return Quorum(sort=BATCH, seats=tuple(Seat(role=role, count=count) for role, count in seats.items()))


def batch_objection(release: Entry, batch: Entry, last: Entry | None) -> str:
    """Why a card can't be released by this batch, in words; empty if it can.

    ``last`` is the release of the same procedure that was in force before; None if there is none.
    """
    item = batch.mapping("parts").get(release.subject)
    if batch.text("content") != batch_content(batch.mapping("parts")):
        return "What was approved is not what the batch holds."
    if not isinstance(item, dict) or item != {name: release.body[name] for name in ("version", "content", "parts")}:
        return "It is not what the batch holds of it."
    if last is None:
        return "No card of it was in force before."
    before, now = last.mapping("parts"), release.mapping("parts")
    others = [name for name in SAME if not before.get(name) or before.get(name) != now.get(name)]
    if last.text("version") != release.text("version"):
        others.insert(0, "version")
    others += _other_languages(release, last)
    if others:
        return f"Changed: {', '.join(others)}."
    if release.text("review") != last.text("review"):
        return "A batch can't put off the review."
    return ""


def _other_languages(release: Entry, last: Entry) -> list[str]:
    """Languages whose card would be taken away, or say what the last release did not hold approved in it.

    A card in a language that had none before is let in if the same text was approved then.
    """
    before, now = last.mapping("parts"), release.mapping("parts")
    same = bool(before.get("translations")) and before.get("translations") == now.get("translations")
    known = {(one.language, one.text) for one in last.prints}
    new = [one.language for one in release.prints if one.pdf and not same and (one.language, one.text) not in known]
    return [f"the card in {one}" for one in sorted({*new, *not_the_same(last.prints, release.prints)})]
