"""Puts one slip after another into a copy of the tool and runs the tests that should notice it.

    python -m tests.mutants.run [--names WORD ...] [--out FILE]

The checkout is never touched. The tests are first run on the copy as it is, so that a test that fails anyway is not
taken for one that notices. Nothing in tests/mutants is run on a mutant: it would only see that the text has changed.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.mutants.outcome import Tried, earlier, page
from tests.mutants.table import OUTCOME, ROOT, Mutant, mutants

COPIED = ("toolkit", "tests", "protocols", "schema", "site_templates", "pyproject.toml", "README.md", "DEVELOPERS.md")
LEFT_OUT = shutil.ignore_patterns("__pycache__", "node_modules", ".hypothesis", "mutants", "out")
HOW = ("-x", "-n", "0", "--tb=no", "-rfE", "--hypothesis-seed=0", "--hypothesis-profile=any-failure")
TIMES_AS_LONG = 5.0
AT_LEAST_SECONDS = 60.0
"""A mutant may loop. Tests that take five times as long as without it, and a minute more, count as noticing it."""
MOST_SECONDS = 1_800.0

_FAILED = re.compile(r"^(?:FAILED|ERROR) (\S+)", re.M)


class BrokenAnywayError(Exception):
    """Tests fail on the tool as it is, so that nothing can be learned from their failing on a mutant."""


@dataclass(frozen=True, slots=True)
class Ran:
    """One run of some tests: the first that failed (empty if none did), and how long it took."""

    failed: str
    seconds: float


class Bench:
    """A copy of the tree in which one file at a time is changed."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._as_it_is: dict[str, float] = {}
        for name in COPIED:
            source = ROOT / name
            if source.is_dir():
                shutil.copytree(source, folder / name, ignore=LEFT_OUT, symlinks=True)
            else:
                shutil.copy2(source, folder / name)

    def run(self, tests: str, most: float) -> Ran:
        """Run these tests until the first fails. A run that takes longer than ``most`` seconds is ended and counts."""
        env = os.environ | {
            "PYTHONPATH": os.pathsep.join((str(self.folder / "toolkit"), str(self.folder))),
            "PYTHONDONTWRITEBYTECODE": "1",
            "STEPWELL_CACHE": "off",
        }
        argv = [sys.executable, "-m", "pytest", *HOW, tests]
        began = time.monotonic()
        try:
            done = subprocess.run(argv, cwd=self.folder, env=env, capture_output=True, text=True, timeout=most, check=False)
        except subprocess.TimeoutExpired:
            return Ran(f"{tests} (not done after {most:.0f} s)", time.monotonic() - began)
        took = time.monotonic() - began
        if done.returncode == 0:
            return Ran("", took)
        named = _FAILED.search(done.stdout)
        return Ran(named[1] if named else f"{tests} (could not be run)", took)

    def usual(self, tests: str) -> float:
        """How long these tests take without a mutant; they must all pass."""
        if tests not in self._as_it_is:
            ran = self.run(tests, MOST_SECONDS)
            if ran.failed:
                raise BrokenAnywayError(f"{ran.failed} fails on the tool as it is")
            self._as_it_is[tests] = ran.seconds
        return self._as_it_is[tests]

    def try_out(self, mutant: Mutant) -> Tried:
        """Whether, by which test and after how many seconds the mutant was noticed."""
        source = mutant.source(self.folder)
        whole = source.read_text("utf-8")
        changed = mutant.put_into(whole)
        spent = 0.0
        for tests in mutant.where_to_look():
            most = AT_LEAST_SECONDS + TIMES_AS_LONG * self.usual(tests)
            source.write_text(changed, "utf-8")
            try:
                ran = self.run(tests, most)
            finally:
                source.write_text(whole, "utf-8")
            spent += ran.seconds
            if ran.failed:
                return Tried(name=mutant.name, by=ran.failed, predicted=tests in mutant.noticed_by, seconds=round(spent))
        return Tried(name=mutant.name, by="", predicted=False, seconds=round(spent))


def run(chosen: Iterable[Mutant], tell: Callable[[Tried], None]) -> tuple[Tried, ...]:
    """Try these mutants one after another, telling of each as soon as it is known."""
    found: list[Tried] = []
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        bench = Bench(Path(folder))
        for mutant in chosen:
            found.append(bench.try_out(mutant))
            tell(found[-1])
    return tuple(found)


def main(argv: Sequence[str] | None = None) -> int:
    """Print the table and write it down. 0 if every mutant was noticed that could be, 1 if some were not."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants.run", description="Try the mutants of the engine.")
    parser.add_argument("--names", nargs="+", metavar="WORDS", help="only those whose name holds one of these words")
    parser.add_argument("--out", type=Path, default=OUTCOME, help="where the table is written (default: outcome.md)")
    args = parser.parse_args(argv)
    every = mutants()
    chosen = [one for one in every if not args.names or any(words in one.name for words in args.names)]
    known = {} if not args.names else {one.name: one for one in earlier(args.out)}

    def tell(tried: Tried) -> None:
        print(f"{tried.seconds:5d} s  {tried.by or 'NOT NOTICED':70}  {tried.name}", flush=True)
        known[tried.name] = tried
        aside = args.out.with_suffix(".new")
        aside.write_text(page(every, known), "utf-8")
        aside.replace(args.out)

    run(chosen, tell)
    return int(any(not one.by for one in known.values() if not _equivalent(every, one.name)))


def _equivalent(every: Iterable[Mutant], name: str) -> bool:
    return any(one.name == name and one.equivalent for one in every)


if __name__ == "__main__":
    sys.exit(main())
