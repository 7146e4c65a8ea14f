"""Which verbs the first word of a clause may mean, in documents that were not written for the tool."""

from __future__ import annotations

import re

from stepwell.circuit.catalogue import VERBS
from stepwell.circuit.entry import Verb

WORD = re.compile(r"[^\W_]+(?:-[^\W_]+)*")
_ALSO: dict[str, tuple[str, ...]] = {
    "open": ("turn", "switch", "remove"),
    "shut": ("turn", "switch"),
    "seat": ("insert", "mount"),
    "plug": ("attach",),
    "fit": ("attach", "mount"),
    "run": ("increase", "reduce"),
    "run-water": ("turn",),
    "stop-water": ("turn",),
    "gas-on": ("start", "increase"),
    "gas-off": ("stop", "shut"),
    "flush-on": ("switch",),
    "flush-off": ("switch",),
    "suspend": ("deactivate", "disable"),
    "restore": ("reactivate", "re-activate", "enable", "activate"),
}
"""Leading words that documents use besides those of the vocabulary."""
_ON = frozenset({"open", "run-water", "gas-on", "flush-on", "restore", "plug-in"})
_OFF = frozenset({"shut", "stop-water", "gas-off", "flush-off", "suspend", "silence", "unplug"})
_EITHER = frozenset({"turn", "switch", "set", "put"})
"""Words that say which way only by the little word behind them."""
_ENDING = frozenset({"stop", "close", "shut", "take", "remove", "pull", "disconnect"})
_BEFORE = frozenset({"now", "then", "fully", "slowly", "gently", "carefully", "first", "please", "next", "and"})
_ONLY_WITH = {
    ("open", "remove"): frozenset({"vent", "cover"}),
    ("cap", "replace"): frozenset({"back", "on", "cap", "caps"}),
    ("swap-cap", "replace"): frozenset({"sealed", "new", "fresh", "another"}),
}
"""A verb that this word means only if one of these stands in the clause too."""


def leading(clause: str) -> tuple[Verb, ...]:
    """The verbs that the clause may begin with; empty if its first word is none that a person does to a part."""
    words = [word.lower() for word in WORD.findall(clause)]
    while words and words[0] in _BEFORE:
        words = words[1:]
    if not words:
        return ()
    first, rest = words[0], frozenset(words[1:])
    found = [verb for verb in VERBS if first in verb.words or first in _ALSO.get(verb.name, ())]
    found = [verb for verb in found if _fits(verb.name, first, rest)]
    if any(("swap-cap", first) in _ONLY_WITH and verb.name == "swap-cap" for verb in found):
        found = [verb for verb in found if verb.name == "swap-cap"]
    return tuple(found)


def _fits(name: str, first: str, rest: frozenset[str]) -> bool:
    """False for the opposite of what is said: "turn the gas off" never means turning it on."""
    wanted = _ONLY_WITH.get((name, first))
    if wanted is not None and not wanted & rest:
        return False
    if first in _EITHER:
        if name in _ON and name != "gas-on":
            return "on" in rest and "off" not in rest
        if name == "gas-on":
            return "off" not in rest
        return name not in _OFF or "off" in rest
    if name in _ON:
        return first not in _ENDING or name == "open"
    return True
