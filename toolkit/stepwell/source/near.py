"""Words for people: quoting what they wrote, and guessing what they meant."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

_LONGEST = 60
"""Longer words are cut in messages and never compared: nobody mistypes a paragraph, and comparing one is slow."""


def quote(word: object) -> str:
    """The word in backticks, on one line, cut to a readable length."""
    text = " ".join(str(word).split())
    if len(text) > _LONGEST:
        text = text[: _LONGEST - 1] + "…"
    return f"`{text}`"


_OFTEN = {
    "closed": "shut",
    "close": "shut",
    "clamped": "shut",
    "covered": "shut",
    "opened": "open",
    "uncovered": "open",
    "unclamped": "open",
    "connected": "joined",
    "full": "filled",
    "tubing": "line",
    "tube": "line",
    "hose": "line",
    "note": "why",
    "reason": "why",
    "comment": "why",
    "role": "who",
    "person": "who",
    "action": "do",
    "duration": "takes",
    "time": "takes",
}
"""Words that people write for those of the tool."""


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that is most likely meant, or None. Case, underscores and spaces are taken as slips."""
    if len(word) > _LONGEST:
        return None
    by_plain = {_plain(entry): entry for entry in known}
    plain = _plain(word)
    plain = _OFTEN.get(plain, plain) if _OFTEN.get(plain) in by_plain else plain
    if plain in by_plain:
        return by_plain[plain]
    close = get_close_matches(plain, by_plain, n=1, cutoff=0.6)
    return by_plain[close[0]] if close else None


def _plain(word: str) -> str:
    return "-".join(word.lower().replace("_", " ").replace("-", " ").split())


def did_you_mean(word: str, known: Iterable[str], *, what: str = "Known here", most: int = 12) -> str:
    """A mend: the likely word, or else the list of what there is."""
    words = tuple(known)
    guess = nearest(word, words)
    if guess is not None:
        return f"Did you mean {quote(guess)}?"
    return f"{what}: {listed(words, most=most)}." if words else ""


def listed(words: Iterable[str], *, most: int = 12) -> str:
    """``a``, ``b`` and ``c``; past ``most`` it says how many more there are."""
    shown = [quote(word) for word in words]
    if not shown:
        return "none"
    if len(shown) > most:
        return ", ".join(shown[:most]) + f" and {len(shown) - most} more"
    return shown[0] if len(shown) == 1 else ", ".join(shown[:-1]) + f" and {shown[-1]}"


def a(noun: str) -> str:
    """The noun with its article."""
    return f"{'an' if noun[:1] in 'aeiou' else 'a'} {noun}"
