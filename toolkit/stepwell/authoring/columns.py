"""What the columns of a table mean, by their headings."""

from __future__ import annotations

import re

_HEADINGS: tuple[tuple[str, str], ...] = (
    ("confirm", "second check|second person|confirmed by|verified by|checked by|witness|confirm"),
    ("number", "no|nr|number|#|step no|step number|pos|item no"),
    ("who", "who|role|person|by|responsible|responsible person|performed by|done by|staff|operator"),
    ("what", "what|action|actions|task|tasks|activity|instruction|instructions|what to do|do|procedure|procedure step|line"),
    ("see", "expected|expected result|expect|result|see|check|look for|response|outcome|criterion|acceptance"),
    ("why", "why|reason|rationale|because|explanation"),
    ("warn", "warning|warnings|caution|cautions|danger|hazard|risk"),
    ("done", "done|tick|ok|completed|complete|signature|sign|initials|✓|☐|yes|y/n|date|time"),
    ("name", "item|items|material|equipment|article|name|description|device"),
    ("amount", "quantity|amount|qty|pieces|how many|count|pcs"),
)
_MEANS = {word: sort for sort, words in _HEADINGS for word in words.split("|")}


def columns_of(cells: tuple[str, ...]) -> tuple[str, ...] | None:
    """What each column is ("" where nobody knows); None if the row is no row of headings.

    A table of steps has a column for what is done; a kit table one for what it is and one for how many.
    """
    found = [_MEANS.get(re.sub(r"[\s.:?*]+", " ", cell).strip().lower(), "") for cell in cells]
    words = [cell.strip().lower() for cell in cells]
    if "what" not in found and "step" in words:
        found[words.index("step")] = "what"  # a column called "step" holds the number only where another holds the words
    elif "step" in words:
        found[words.index("step")] = "number"
    for sort in set(found) - {""}:
        for at in [at for at, one in enumerate(found) if one == sort][1:]:
            found[at] = ""
    known = set(found)
    if "what" in known and (len(known - {""}) > 1 or len(cells) == 1):
        return tuple(found)
    return tuple(found) if {"name", "amount"} <= known else None
