"""How well and how fast the matching is, beside difflib and deepdiff on the same edits.

Run it with ``python -m tests.compare.bench [procedures]``. A timing never fails a test, so it is only printed here.
"""

from __future__ import annotations

import random
import statistics
import sys
import time
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from typing import Any

from deepdiff import DeepDiff

from stepwell.compare.between import edits_between
from stepwell.compare.edits import Edit, Sort
from stepwell.model.procedure import Procedure, Step, steps_of
from stepwell.model.quantity import Quantity
from stepwell.model.unit import Unit
from stepwell.model.workspace import Workspace
from tests.compare.synthetic import edited, made, reminted

Found = set[tuple[str, str, str]]
FIELDS = ("who", "say", "do", "expect", "if_not", "confirm", "why")


@dataclass
class Tally:
    hit: int = 0
    told: int = 0
    wanted: int = 0
    whole: int = 0
    documents: int = 0

    def add(self, found: Found, truth: Found) -> None:
        self.hit += len(found & truth)
        self.told += len(found)
        self.wanted += len(truth)
        self.whole += found == truth
        self.documents += 1

    @property
    def f1(self) -> float:
        return 2 * self.hit / (self.told + self.wanted) if self.told + self.wanted else 1.0

    @property
    def items(self) -> float:
        return self.told / self.wanted if self.wanted else 1.0


def unit(procedure: Procedure) -> Workspace:
    from decimal import Decimal

    empty = Unit(name="", region="", languages=(), roles=(), numbers=(), reading_distance=Quantity(Decimal(60), "cm"))
    return Workspace(unit=empty, rigs=(), rules=(), procedures=(procedure,))


def ours(old: Procedure, new: Procedure, back: dict[str, str]) -> Found:
    return {told(edit, back) for edit in edits_between(unit(old), unit(new)).edits if edit.sort is not Sort.REIDENTIFIED}


def told(edit: Edit, back: dict[str, str]) -> tuple[str, str, str]:
    item = back.get(edit.item, edit.item) if edit.sort is Sort.ADDED else edit.item
    if edit.sort is Sort.MERGED:
        item = " ".join(sorted((item, *edit.others)))
    elif edit.sort is Sort.MOVED and edit.others:
        item = "+".join((item, *edit.others))
    return (edit.sort.value, item, edit.field)


def _field_edits(one: Step, other: Step) -> Found:
    changed = [name for name in FIELDS if getattr(one, name) != getattr(other, name)]
    return {("reworded" if name in ("say", "why") else "changed", one.id, name.replace("_", "-")) for name in changed}


def by_difflib(old: Procedure, new: Procedure, back: dict[str, str]) -> Found:
    """Steps as lines; lines that stand for each other in a replacement are read as one step that changed."""
    here, there = steps_of(old.body), steps_of(new.body)
    lines = [[repr(replace(step, id="")) for step in side] for side in (here, there)]
    found: Found = set()
    for tag, a, b, c, d in SequenceMatcher(None, *lines, autojunk=False).get_opcodes():
        if tag == "equal":
            continue
        for one, other in zip(here[a:b], there[c:d], strict=False):
            found |= _field_edits(one, other)
        found |= {("removed", step.id, "") for step in here[a:b][d - c :]}
        found |= {("added", back.get(step.id, step.id), "") for step in there[c:d][b - a :]}
    return found


def _plain(procedure: Procedure, ids: bool) -> Any:
    steps = steps_of(procedure.body)
    rows = [{name: repr(getattr(step, name)) for name in FIELDS} for step in steps]
    return {step.id: row for step, row in zip(steps, rows, strict=True)} if ids else rows


def by_deepdiff(old: Procedure, new: Procedure, back: dict[str, str], *, ids: bool) -> Found:
    """By id, or as a list whose order is ignored."""
    diff = DeepDiff(_plain(old, ids), _plain(new, ids), ignore_order=not ids, view="tree")
    here, there = steps_of(old.body), steps_of(new.body)

    def name(key: Any, side: tuple[Step, ...]) -> str:
        found = key if ids else side[key].id
        return back.get(found, found)

    found: Found = set()
    for one in diff.get("values_changed", ()):
        path = one.path(output_format="list")
        if len(path) > 1:
            found.add(
                ("reworded" if path[1] in ("say", "why") else "changed", name(path[0], here), path[1].replace("_", "-"))
            )
    for sort, word, side in (("added", "added", there), ("removed", "removed", here)):
        for kind in (f"dictionary_item_{word}", f"iterable_item_{word}"):
            found |= {(sort, name(one.path(output_format="list")[0], side), "") for one in diff.get(kind, ())}
    return found


def measure(documents: int, share: float, seed: int = 1) -> dict[str, Tally]:
    tallies = {name: Tally() for name in ("stepwell", "difflib", "deepdiff by id", "deepdiff, order ignored")}
    for number in range(documents):
        chance = random.Random(f"{seed}/{share}/{number}")
        old = made(chance, chance.randint(20, 60))
        new, truth = edited(chance, old, chance.randint(1, 12))
        new, back = reminted(chance, new, share)
        wanted = truth.edits
        tallies["stepwell"].add(ours(old, new, back), wanted)
        tallies["difflib"].add(by_difflib(old, new, back), wanted)
        tallies["deepdiff by id"].add(by_deepdiff(old, new, {}, ids=True), wanted)
        tallies["deepdiff, order ignored"].add(by_deepdiff(old, new, back, ids=False), wanted)
    return tallies


def speed(share: float, rounds: int = 15) -> list[float]:
    """Milliseconds for 60 steps and 12 edits, without verdicts."""
    spent: list[float] = []
    for number in range(rounds):
        chance = random.Random(f"speed {number}")
        old = made(chance, 60)
        new, _ = edited(chance, old, 12)
        new, _ = reminted(chance, new, share)
        sides = unit(old), unit(new)
        started = time.perf_counter()
        edits_between(*sides)
        spent.append((time.perf_counter() - started) * 1000)
    return spent


def main() -> None:
    documents = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    for share, words in ((0.0, "ids stable"), (0.3, "30 % of ids minted again"), (1.0, "no ids")):
        print(f"{words}, {documents} procedures of 20 to 60 steps, 1 to 12 edits")
        for name, tally in measure(documents, share).items():
            right = 100 * tally.whole / tally.documents
            print(f"  {name:<24} F1 {tally.f1:.3f}  wholly right {right:5.1f} %  items per edit {tally.items:.3f}")
        spent = speed(share)
        print(f"  60 steps: median {statistics.median(spent):.1f} ms, slowest {max(spent):.1f} ms")


if __name__ == "__main__":
    main()
