"""Puts one slip after another into a copy of the tool and runs the tests that should notice it.

    python -m tests.mutants.run [--names WORDS ...] [--layers LAYER ...] [--rest] [--out FILE]

The checkout is never touched. First the predicted tests of every mutant are run, then, for those that they do not notice,
whole folders. At the end all tests that noticed something are run on the copy as it is, so that a test that fails anyway
is not taken for one that notices. Nothing in tests/mutants is run on a mutant: it would only see that the text has changed.
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
from dataclasses import dataclass, replace
from pathlib import Path

from tests.mutants.outcome import Tried, earlier, page
from tests.mutants.table import BROADER, OUTCOME, ROOT, Mutant, mutants

COPIED = ("toolkit", "tests", "protocols", "schema", "site_templates", "pyproject.toml", "README.md", "DEVELOPERS.md")
LEFT_OUT = shutil.ignore_patterns("__pycache__", "node_modules", ".hypothesis", "mutants", "out")
HOW = ("-x", "-n", "0", "--tb=no", "-rfE", "--hypothesis-seed=0", "--hypothesis-profile=any-failure")
MOST_SECONDS = 900.0
"""A mutant may loop: tests that are not done by then have noticed it."""
NOT_DONE = " (not done in time)"

_FAILED = re.compile(r"^(?:FAILED|ERROR) (.+?)(?: - .*)?$", re.M)


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

    def run(self, *tests: str) -> Ran:
        """Run these tests until the first fails. A run that is not done in time is ended and counts as failed."""
        env = os.environ | {
            "PYTHONPATH": os.pathsep.join((str(self.folder / "toolkit"), str(self.folder))),
            "PYTHONDONTWRITEBYTECODE": "1",
            "STEPWELL_CACHE": "off",
        }
        argv = [sys.executable, "-m", "pytest", *HOW, *tests]
        began = time.monotonic()
        try:
            done = subprocess.run(
                argv, cwd=self.folder, env=env, capture_output=True, text=True, timeout=MOST_SECONDS, check=False
            )
        except subprocess.TimeoutExpired:
            return Ran(tests[0] + NOT_DONE, time.monotonic() - began)
        took = time.monotonic() - began
        if done.returncode == 0:
            return Ran("", took)
        named = _FAILED.search(done.stdout)
        return Ran(named[1] if named else tests[0], took)

    def try_out(self, mutant: Mutant, where: Iterable[str]) -> Tried:
        """Whether, by which test and after how many seconds the mutant was noticed; ``where`` is run one after another."""
        source = mutant.source(self.folder)
        whole = source.read_text("utf-8")
        spent = 0.0
        source.write_text(mutant.put_into(whole), "utf-8")
        try:
            for tests in where:
                ran = self.run(tests)
                spent += ran.seconds
                if ran.failed:
                    return Tried(name=mutant.name, by=ran.failed, predicted=tests in mutant.noticed_by, seconds=round(spent))
        finally:
            source.write_text(whole, "utf-8")
        return Tried(name=mutant.name, by="", predicted=False, seconds=round(spent))

    def confirm(self, tried: Iterable[Tried]) -> None:
        """See that the tests that noticed something pass on the tool as it is; BrokenAnywayError if one does not."""
        tests = dict.fromkeys(one.by.removesuffix(NOT_DONE) for one in tried if one.by)
        ran = self.run(*tests) if tests else Ran("", 0.0)
        if ran.failed:
            raise BrokenAnywayError(f"{ran.failed} fails on the tool as it is")


def run(chosen: Iterable[Mutant], tell: Callable[[Tried], None]) -> tuple[Tried, ...]:
    """Try these mutants one after another, telling of each as soon as it is known."""
    found: dict[str, Tried] = {}
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        bench = Bench(Path(folder))
        unnoticed: list[Mutant] = []
        for mutant in chosen:
            tried = found[mutant.name] = bench.try_out(mutant, mutant.noticed_by)
            if tried.by:
                tell(tried)
            else:
                unnoticed.append(mutant)
        for mutant in unnoticed:
            more = bench.try_out(mutant, mutant.elsewhere())
            found[mutant.name] = replace(more, seconds=more.seconds + found[mutant.name].seconds)
            tell(found[mutant.name])
        bench.confirm(found.values())
    return tuple(found.values())


def main(argv: Sequence[str] | None = None) -> int:
    """Print the table and write it down. 0 if every mutant was noticed that could be, 1 if some were not."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants.run", description="Try the mutants of the engine.")
    parser.add_argument("--names", nargs="+", metavar="WORDS", help="only those whose name holds one of these words")
    parser.add_argument("--layers", nargs="+", choices=list(BROADER), help="only those of these layers")
    parser.add_argument("--rest", action="store_true", help="only those that the page does not show to be noticed")
    parser.add_argument("--out", type=Path, default=OUTCOME, help="where the table is written (default: outcome.md)")
    args = parser.parse_args(argv)
    every = mutants()
    known = {one.name: one for one in earlier(args.out)}
    chosen = [one for one in every if not args.names or any(words in one.name for words in args.names)]
    chosen = [one for one in chosen if not args.layers or one.layer in args.layers]
    chosen = [one for one in chosen if not args.rest or one.name not in known or not known[one.name].by]

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
