"""What the parts that a rule speaks of are called in English, without any rig at hand."""

from __future__ import annotations

from typing import Final

from stepwell.model.predicate import Ref, Selector

_KINDS: Final = {
    None: "part",
    "backup": "back-up",
    "co2-flush": "carbon dioxide flush",
    "drive": "pump",
    "end": "connector",
    "power": "console",
    "response": "automatic response",
    "stub": "side branch",
    "tap": "three-way tap",
}
_SHORT: Final = {
    "bubble-sensor": "sensor",
    "flow-sensor": "sensor",
    "pressure-sensor": "sensor",
    "response": "response",
    "tap": "tap",
}
_WHOLE: Final = {
    (None, "main"): "part of the main path",
    (None, "kept"): "part that must stay shut",
    (None, "side-branch"): "side branch",
    ("stub", "side-branch"): "side branch",
    ("clamp", "on-main-path"): "clamp on the main path",
    ("drive", "hand"): "pump turned by hand",
}
_ADJECTIVES: Final = {"main": "main-path", "roaming": "roaming", "on-main-path": "main-path", "travels": "travelling"}
_AS_PREDICATE: Final = {"main": "on the main path", "on-main-path": "on the main path", "hand": "turned by hand"}
_REFERENCES: Final = {
    "site": "the site of {}",
    "of": "the space behind {}",
    "head": "the head on {}",
    "tap": "the tap of {}",
    "oxygenator": "the oxygenator of {}",
    "watches": "the sensor watched by {}",
    "before": "the clamps before {}",
    "after": "the clamps behind {}",
    "headspace": "the headspace of {}",
    "gas": "the gas supply behind {}",
    "ends": "the ends in {}",
    "joined": "the connector joined to {}",
}


def noun(selector: Selector) -> str:
    """The selected parts in the singular, without an article: "built-in pressure sensor"."""
    if len(selector.traits) == 1 and (whole := _WHOLE.get((selector.kind, selector.traits[0]))):
        words = whole
    else:
        kind = _KINDS.get(selector.kind) or (selector.kind or "").replace("-", " ")
        words = " ".join([*(_ADJECTIVES.get(trait, trait) for trait in selector.traits), kind])
    if selector.without:
        words += " that is not " + " or ".join(_AS_PREDICATE.get(trait, trait) for trait in selector.without)
    return words


def short_noun(selector: Selector) -> str:
    """What to call a selected part once it has been introduced: "sensor" is enough after "built-in pressure sensor"."""
    if selector.kind is None:
        return "side branch" if selector.traits == ("side-branch",) else "part"
    return _SHORT.get(selector.kind) or noun(Selector(kind=selector.kind))


def phrase(ref: Ref, names: dict[str, str]) -> str:
    """An argument in words. ``names`` says what each variable is called here; other names stand for themselves."""
    whole = names.get(ref.name, ref.name)
    return whole if ref.attr is None else _REFERENCES.get(ref.attr, f"the {ref.attr} of {{}}").format(whole)


def with_article(words: str) -> str:
    """ "a" or "an", by the sound of the first letter; none of the vocabulary's words is an exception."""
    return f"{'an' if words[:1] in 'aeio' else 'a'} {words}"
