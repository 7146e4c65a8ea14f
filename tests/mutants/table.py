"""The table of mutants, and where else than predicted a mutant may be noticed."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import yaml

ROOT = Path(__file__).parents[2]
PACKAGE = Path("toolkit") / "stepwell"
TABLE = Path(__file__).parent / "mutants.yaml"
OUTCOME = Path(__file__).parent / "outcome.md"

BROADER = {
    "orders": ("meaning.py", "pauses.py", "composition.py", "meetings.py", ""),
    "circuit": ("mends.py", "settle.py", "hydraulic_verbs.py", "equipment.py", ""),
    "rules": ("shapes.py", "other_shapes.py", "cases.py", ""),
    "report": ("bites.py", "starts.py", "waivers.py", ""),
    "slips": ("variants.py", ""),
}
"""By the layer of the mutant: the tests that are run if those predicted notice nothing, the quickest first; at last all."""
LAST = ("tests/report", "tests/slips", "tests/rules", "tests/cli")
"""What is run if these notice nothing either."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutant:
    """One slip: ``text`` of ``file`` is replaced by ``instead``. ``noticed_by`` was predicted before it was tried.

    ``written_for``: the suite as it was did not notice it, and a test was written that does. ``equivalent`` is the proof
    that it changes no behaviour, where there is one; such a mutant is not counted.
    """

    name: str
    file: str
    text: str
    instead: str
    means: str
    noticed_by: tuple[str, ...]
    written_for: bool = False
    equivalent: str = ""

    @property
    def layer(self) -> str:
        """The layer of the package that the slip is in."""
        return self.file.partition("/")[0]

    def put_into(self, source: str) -> str:
        """The file's text with the slip in it. ValueError where the original does not stand there exactly once."""
        found = source.count(self.text)
        if found != 1:
            raise ValueError(f"{self.name}: its text stands {found} times in {self.file}; correct it in {TABLE.name}")
        return source.replace(self.text, self.instead)

    def source(self, root: Path = ROOT) -> Path:
        """The file that it changes."""
        return root / PACKAGE / self.file

    def elsewhere(self) -> tuple[str, ...]:
        """The tests to run one after another where those that were predicted notice nothing."""
        folder = f"tests/{self.layer}"
        own = (f"{folder}/test_{name}" if name else folder for name in BROADER[self.layer])
        return tuple(one for one in dict.fromkeys((*own, *LAST)) if one not in self.noticed_by)


def mutants() -> tuple[Mutant, ...]:
    """All of them, in the order of the table."""
    return tuple(
        Mutant(
            name=entry["name"],
            file=entry["file"],
            text=entry["text"],
            instead=entry["instead"],
            means=entry["means"],
            noticed_by=tuple(entry["noticed-by"]),
            written_for=entry.get("written-for", False),
            equivalent=entry.get("equivalent", ""),
        )
        for entry in yaml.safe_load(TABLE.read_text("utf-8"))
    )
