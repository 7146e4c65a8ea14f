"""The sorts of slip: how one step may go wrong once."""

from __future__ import annotations

from enum import StrEnum


class Sort(StrEnum):
    """How one step may go wrong once; the words are those of files and documents."""

    OMITTED = "omitted"
    EARLY = "too early"
    TWICE = "twice"
    LOOK_ALIKE = "look-alike"
    UNCHECKED = "check skipped"
