"""Labels put into the messages of rules."""

from __future__ import annotations

import re
from collections.abc import Mapping

from stepwell.model.predicate import Ref
from stepwell.model.rig import Rig
from stepwell.rules.ground import Missing, targets

_NAME = re.compile(r"\{([a-z][a-z0-9-]*)(?:\.([a-z][a-z0-9-]*))?\}")


def filled_in(text: str, rig: Rig, bindings: Mapping[str, str]) -> str:
    """``{s}`` and ``{s.site}`` become labels of parts; a name that leads nowhere is left as it stands."""

    def label(match: re.Match[str]) -> str:
        found = targets(Ref(match[1], match[2]), rig, bindings)
        if isinstance(found, Missing):
            return match[0]
        return " and ".join(part.label if (part := rig.part(name)) is not None else name for name in found)

    filled = _NAME.sub(label, text)
    return filled[:1].upper() + filled[1:]
