"""Work on many things at once, its results in the order of the things.

The typesetter works outside the interpreter's lock, so that threads use as many cores as there are.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

T = TypeVar("T")
R = TypeVar("R")

MOST = 4
"""More would not help: the interpreter does its part of the work for one of them at a time."""


def side_by_side(work: Callable[[T], R], things: Sequence[T]) -> Iterator[R]:
    """What ``work`` makes of each thing, in their order; raises what it raised, and then begins nothing more."""
    hands = min(MOST, os.cpu_count() or 1, len(things))
    if hands < 2:
        yield from map(work, things)
        return
    with ThreadPoolExecutor(max_workers=hands) as pool:
        begun = [pool.submit(work, thing) for thing in things]
        try:
            for one in begun:
                yield one.result()
        finally:
            for one in begun:
                one.cancel()
