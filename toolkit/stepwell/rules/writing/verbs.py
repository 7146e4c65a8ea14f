"""Verbs with which a line may begin: those of the tool's vocabulary, and those that change nothing in the circuit."""

from __future__ import annotations

from stepwell.circuit.catalogue import VERBS


def _set(text: str) -> frozenset[str]:
    return frozenset(text.split())


LOOKING = _set("check compare confirm count feel inspect listen look measure note observe read see trace verify watch")
"""Verbs that only find something out."""

TELLING = _set("alert announce answer ask call inform notify page repeat report say shout tell")
OTHER = _set(
    """add apply assemble bring carry change choose clear collect continue cover cut discard drape drip draw drop dry empty
    enter fasten fetch fill find fix flick flush give go hand hold invert keep label lay leave lift lock lower mark measure
    move open pass pick place plan point pour prepare press protect pull push put raise record remove repeat replace rest
    return roll secure send set shake sign slide squeeze stand start step strap switch take tap tell test tie tighten tip
    touch transfer trim tug unclamp uncover unpack untie unwrap use ventilate wait walk warm wash wear wipe wrap write"""
)
ACTING = frozenset(word for verb in VERBS for word in verb.words) | OTHER
LEADING = LOOKING | TELLING | ACTING
