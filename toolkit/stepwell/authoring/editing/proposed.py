"""The action that an import proposed for a step, as it stands in comments below its words."""

from __future__ import annotations

from stepwell.authoring.editing.edit import EditError, Plain, keys_of
from stepwell.authoring.editing.layout import Lines
from stepwell.authoring.proposals import MARK, accept
from stepwell.source.nodes import Listing, Mapping, Node, Scalar, plain_value
from stepwell.source.notes import Notes
from stepwell.source.parse import parse_text

NONE = EditError("No action is proposed for this step.", "Choose the action in the form.")


def proposal_of(lines: Lines, step: Node) -> dict[str, Plain]:
    """``say`` and ``do`` as they were proposed. Raises EditError where there is none."""
    found = proposal_in(lines, step)
    if found is None or not isinstance(step, Mapping) or "do" in step.entries:
        raise NONE
    return found


def proposal_in(lines: Lines, step: Node) -> dict[str, Plain] | None:
    """``say`` and ``do`` as they were proposed for a step, or None."""
    say = step.get("say") if isinstance(step, Mapping) else None
    if say is None:
        return None
    first = say.value.span.end_line + 1
    told = [lines.line(number).strip() for number in range(first, first + 3)]
    if not told[0].startswith(MARK) or not told[1].startswith("# say: ") or not told[2].startswith("# do: "):
        return None
    root = parse_text(f"{told[1][2:]}\n{told[2][2:]}\n", Notes(""))
    value = None if root is None else plain_value(root)
    return value if isinstance(value, dict) and set(value) == {"say", "do"} else None


def accepted_text(text: str, root: Node, pointer: str) -> str:
    """The text with the proposal of a step turned on. Raises EditError."""
    here: Node | None = root
    for token in keys_of(pointer):
        if isinstance(here, Mapping):
            entry = here.get(token)
            here = None if entry is None else entry.value
        else:
            here = here.items[int(token)] if isinstance(here, Listing) and int(token) < len(here.items) else None
    entry = here.get("id") if isinstance(here, Mapping) else None
    if entry is None or not isinstance(entry.value, Scalar):
        raise NONE
    new, done = accept(text, frozenset([entry.value.text]))
    if not done:
        raise NONE
    return new
