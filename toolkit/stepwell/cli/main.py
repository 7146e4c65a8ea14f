"""The entry of the command line: parse, run one verb, answer with an exit code."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Callable, Sequence

from stepwell.cli.console import Console, console_of
from stepwell.cli.failure import UsageProblem

UNUSABLE = 2
FAULT_OF_THE_TOOL = 70
"""Outside the contract's 0 to 3, so that a crash is never taken for a verdict (EX_SOFTWARE of sysexits.h)."""
INTERRUPTED = 130


def run() -> None:
    """The console script."""
    # Nearly all that a check makes stays until its end: looking for circles every 700 objects takes a fifth of its time.
    gc.set_threshold(50_000, 20, 20)
    sys.exit(main(sys.argv[1:]))


def main(argv: Sequence[str]) -> int:
    """Run one verb and return its exit code; never raises, apart from what argparse raises to show help."""
    from stepwell.cli.parser import build_parser

    console = console_of(sys.stdout, sys.stderr, os.environ)
    try:
        args = build_parser(argv).parse_args(list(argv))
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else UNUSABLE
    return guarded(lambda: int(args.run(args, console)), console)


def guarded(work: Callable[[], int], console: Console) -> int:
    """Call ``work`` and turn what it raises into an exit code and a sentence."""
    try:
        return work()
    except UsageProblem as problem:
        console.complain(problem.message, problem.mend)
        return UNUSABLE
    except KeyboardInterrupt:
        console.complain("Stopped. Nothing was changed.")
        return INTERRUPTED
    except Exception as error:
        return _crash(error, console)


def _crash(error: Exception, console: Console) -> int:
    import traceback

    console.clear()
    traceback.print_exception(error, file=console.err)
    console.complain(
        "This is a fault of the tool, not of your files. Nothing was changed.",
        "Please report it with the lines above.",
    )
    return FAULT_OF_THE_TOOL


if __name__ == "__main__":
    # Without this, running the module by its name would do nothing and exit with 0, which reads as "all is well".
    run()
