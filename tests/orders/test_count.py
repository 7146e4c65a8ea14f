"""Numbers of linear extensions that are published, or have a closed form."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import comb, factorial, prod

import pytest

from stepwell.model.procedure import Body, Item, Otherwise, Sight
from stepwell.orders.compile import compile_body
from stepwell.orders.count import Counted, count_orders

from .bodies import any_order, choose, hold, is_so, lanes, outcome, repeat, stage, step


def number(*body: Item) -> int:
    counted = count_orders(compile_body(body))
    assert counted.exact
    return counted.number


def poset(below: Mapping[str, Iterable[str]]) -> Body:
    """Single actions in any order, each after those named."""
    return (any_order(*(step(name, after=tuple(earlier)) for name, earlier in below.items())),)


def boolean_lattice(n: int) -> Body:
    return poset({str(a): [str(a & ~(1 << i)) for i in range(n) if a >> i & 1] for a in range(1 << n)})


def fence(n: int) -> Body:
    """a0 < a1 > a2 < a3 ..."""
    return poset({str(i): [str(j) for j in (i - 1, i + 1) if i % 2 and j < n] for i in range(n)})


def chain(name: str, length: int) -> Body:
    return tuple(step(f"{name}{index}") for index in range(length))


# OEIS A046873 (from memory): linear extensions of the Boolean lattice.
@pytest.mark.parametrize(("n", "expected"), [(0, 1), (1, 1), (2, 2), (3, 48), (4, 1680384)])
def test_boolean_lattice(n: int, expected: int) -> None:
    assert number(*boolean_lattice(n)) == expected


@pytest.mark.parametrize("n", range(1, 13))
def test_antichain(n: int) -> None:
    assert number(any_order(*chain("a", n))) == factorial(n)


# OEIS A000111 (from memory): Euler or up/down numbers.
@pytest.mark.parametrize(("n", "expected"), list(enumerate([1, 1, 1, 2, 5, 16, 61, 272, 1385, 7936, 50521]))[1:])
def test_fence(n: int, expected: int) -> None:
    assert number(*fence(n)) == expected


@pytest.mark.parametrize(("m", "n"), [(1, 1), (3, 4), (10, 10), (60, 40)])
def test_two_chains(m: int, n: int) -> None:
    assert number(lanes(chain("a", m), chain("b", n))) == comb(m + n, m)


def test_many_lanes_between_bars() -> None:
    work = [lanes(*(chain(f"{part}{lane}x", 20) for lane in range(5))) for part in "pqr"]
    expected = (factorial(100) // factorial(20) ** 5) ** 3
    assert number(work[0], hold("h", is_so(0)), work[1], work[2]) == expected


# OEIS A000108 (from memory): Catalan numbers are the standard Young tableaux of two rows.
@pytest.mark.parametrize(("n", "expected"), list(enumerate([1, 1, 2, 5, 14, 42, 132, 429, 1430]))[1:])
def test_two_rows(n: int, expected: int) -> None:
    upper = chain("u", n)
    lower = tuple(step(f"v{index}", after=(f"u{index}",)) for index in range(n))
    assert number(lanes(upper, lower)) == expected


@pytest.mark.parametrize("shape", [(3, 2), (4, 3, 2), (5, 5, 5), (4, 4, 2, 1)])
def test_hook_lengths(shape: tuple[int, ...]) -> None:
    """The hook length formula (Frame, Robinson and Thrall, from memory)."""
    cells = {(row, column) for row, width in enumerate(shape) for column in range(width)}
    below = {f"{r},{c}": [f"{a},{b}" for a, b in ((r - 1, c), (r, c - 1)) if (a, b) in cells] for r, c in cells}
    hooks = [
        1 + sum((r, b) in cells for b in range(c + 1, 9)) + sum((a, c) in cells for a in range(r + 1, 9)) for r, c in cells
    ]
    assert number(*poset(below)) == factorial(len(cells)) // prod(hooks)


def test_a_step_of_two_actions_mixes_and_at_once_does_not() -> None:
    assert number(any_order(step("a", "00"), step("b"))) == 3
    assert number(any_order(step("a", "00", at_once=True), step("b"))) == 2


def test_decisions() -> None:
    assert number() == 1
    assert number(step("a", optional=True), step("b", optional=True)) == 4
    assert number(choose("q", outcome(*chain("a", 2)), outcome(any_order(*chain("b", 3))), outcome())) == 1 + 6 + 1
    assert number(repeat("r", is_so(0), 3, any_order(*chain("a", 2)))) == 2 + 4 + 8
    # Beside another action: two actions have three places for it, none has one.
    assert number(any_order(choose("q", outcome(*chain("a", 2)), outcome()), step("b"))) == 3 + 1


def test_an_end_stops_the_others_at_any_moment() -> None:
    stop = choose("q", outcome(end=True), outcome(step("a")))
    assert number(lanes((stop,), chain("b", 2))) == 3 + 3  # after 0, 1 or 2 of the others; a among them
    done = choose("q", outcome(step("a"), card="other"), outcome())
    assert number(lanes((done,), chain("b", 2))) == 3 + 1


def test_a_bar_in_a_lane_bars_that_lane_only() -> None:
    assert number(lanes((step("a"), hold("h"), step("b")), (step("c"),))) == 3
    assert number(stage(lanes((step("a"), step("b")), (step("c"),)), hold("h"), step("d"))) == 3


def test_past_the_bound_it_is_at_least() -> None:
    program = compile_body(boolean_lattice(4))
    counted = count_orders(program, states=20)
    assert not counted.exact
    assert 1 <= counted.number < 1680384


def test_deep_programs_are_bounded_not_an_error() -> None:
    zigzag = [
        step(f"{lane}{i}", after=(f"{'b' if lane == 'a' else 'a'}{i - 2}",) if i > 1 else ())
        for lane in "ab"
        for i in range(400)
    ]
    counted = count_orders(compile_body((lanes(tuple(zigzag[:400]), tuple(zigzag[400:])),)))
    assert counted.number >= 1


def test_a_way_back_is_not_counted() -> None:
    back = step("b", expect=(Sight(words=()),), if_not=Otherwise(step="a"))
    assert count_orders(compile_body((step("a"), back))) == Counted(1, False)
