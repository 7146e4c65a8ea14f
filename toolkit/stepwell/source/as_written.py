"""A short value as its author wrote it, to be said back in a mend."""

from __future__ import annotations

from stepwell.source.nodes import Listing, Mapping, Node, Scalar

_LONGEST = 60


def as_written(node: Node) -> str:
    """The value on one line; ``...`` where it is too long to be repeated."""
    text = _written(node)
    return text if 0 < len(text) <= _LONGEST else "..."


def _written(node: Node) -> str:
    match node:
        case Scalar(text=text, plain=plain):
            return " ".join(text.split()) if plain else f'"{text}"'
        case Listing(items=items):
            return f"[{', '.join(map(_written, items))}]"
        case Mapping(entries=entries):
            return f"{{{', '.join(f'{entry.key}: {_written(entry.value)}' for entry in entries.values())}}}"
