"""What makes the cards as a document: the version of the tool, and the files of the layout by their hashes.

The rules that come with the tool are compared as rules, one by one. A change here changes no word of a card, but every
card is laid out anew.
"""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.compare.tree import Document, Node

_SHOWN = 12
"""Digits of a hash that are told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """``version`` in words, ``template`` as (name of a file, its SHA-256)."""

    version: str
    template: tuple[tuple[str, str], ...]


def tool_document(tool: Tool) -> Document:
    """The tool as a tree."""
    files = tuple(
        Node(sort="layout-file", fields=(("id", name), ("content", digest[:_SHOWN])), slot="files")
        for name, digest in sorted(tool.template)
    )
    return Document(kind="tool", id="tool", root=Node(sort="tool", fields=(("version", tool.version),), children=files))
