"""Where a name in a rule leads on a rig, and the labels put into a rule's messages."""

from __future__ import annotations

import re
from collections.abc import Mapping

from stepwell.model.predicate import Ref
from stepwell.model.rig import Rig

_NAME = re.compile(r"\{([a-z][a-z0-9-]*)(?:\.([a-z][a-z0-9-]*))?\}")


def refs_to(ref: Ref, rig: Rig, bindings: Mapping[str, str]) -> tuple[str, ...]:
    """The ids of the parts that a reference leads to; empty where the rig names none."""
    part = rig.part(bindings.get(ref.name, ref.name))
    if part is None:
        return ()
    if ref.attr is None:
        return (part.id,)
    if ref.attr == "headspace" and part.kind == "bag":
        return (f"{part.id}.headspace",)
    return part.ref(ref.attr)


def filled_in(text: str, rig: Rig, bindings: Mapping[str, str]) -> str:
    """``{s}`` and ``{s.site}`` become labels of parts, with an article; a name that leads nowhere is left as it stands."""

    def label(match: re.Match[str]) -> str:
        found = refs_to(Ref(match[1], match[2]), rig, bindings)
        labels = [part.label if (part := rig.part(name)) is not None else name for name in found]
        named = [words if words.lower().startswith("the ") else f"the {words}" for words in labels]
        return " and ".join(named) or match[0]

    filled = _NAME.sub(label, text)
    return filled[:1].upper() + filled[1:]
