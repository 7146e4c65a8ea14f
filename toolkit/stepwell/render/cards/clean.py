"""Author's text made printable: characters that no vendored font has are spelled out and reported."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, field
from functools import lru_cache

from stepwell.diagnostics.finding import Finding
from stepwell.diagnostics.severity import Severity
from stepwell.publish.canonical import Plain

_BREAKS = str.maketrans("\t\n\r\v\f", " " * 5)
_STEPS = ("step-line", "question-block", "hold-bar", "repeat-block")


@dataclass(slots=True, kw_only=True)
class Cleaner:
    """Walks the plain data of one sheet. ``missing`` collects (step id or empty, character) in the order met."""

    characters: frozenset[int]
    missing: dict[tuple[str, str], None] = field(default_factory=dict)

    def clean(self, value: Plain, step: str = "") -> Plain:
        """The same data with only characters that can be shown."""
        if isinstance(value, str):
            return self.text(value, step)
        if isinstance(value, list):
            return [self.clean(item, step) for item in value]
        if isinstance(value, dict):
            inner = str(value["id"]) if value.get("is") in _STEPS else step
            return {key: self.clean(item, inner) for key, item in value.items()}
        return value

    def text(self, words: str, step: str = "") -> str:
        """Line breaks become spaces, other characters without a shape become ``[U+1F600]``."""
        normal = unicodedata.normalize("NFC", words).translate(_BREAKS)
        shown = _printable(self.characters)
        # Nearly all texts hold nothing else, and one look at their characters is enough.
        if shown.issuperset(normal):
            return normal
        return "".join(char if char in shown else self._spelled(char, step) for char in normal)

    def _spelled(self, char: str, step: str) -> str:
        self.missing[(step, char)] = None
        return f"[U+{ord(char):04X}]"

    def findings(self, procedure: str) -> tuple[Finding, ...]:
        """One finding per character and step."""
        return tuple(_finding(procedure, step, char) for step, char in self.missing)


@lru_cache(maxsize=4)
def _printable(characters: frozenset[int]) -> frozenset[str]:
    """The characters with a shape, without those that only control."""
    return frozenset(char for char in map(chr, characters) if unicodedata.category(char) not in ("Cc", "Cf"))


def _finding(procedure: str, step: str, char: str) -> Finding:
    name = unicodedata.name(char, "a control or unassigned character")
    return Finding(
        rule="character-not-printable",
        code="SW405",
        severity=Severity.SERIOUS,
        message=f"The card's fonts have no shape for U+{ord(char):04X} ({name}); its number is printed instead.",
        mend="Write it in words or leave it out.",
        procedure=procedure,
        step=step or None,
    )
