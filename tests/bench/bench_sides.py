"""Ways of searching side by side: ``python -m tests.bench.bench_sides [--limit S] [--largest]``. Prints, never fails.

Every cell is a process of its own with a limit of wall time, all rules of the instance together. ``causes``: ours, from
what must come before what (stepwell.orders.causal), with a slice for what that leaves open. ``slices``: ours, one hazard
at a time (tests.orders.boolean.sliced). ``plain``: ours, every state (stepwell.orders.search). ``spin``: the compiled
model checker; translating and compiling are shown apart. ``z3 positions`` and ``z3 steps``: an SMT solver with a position
per step, and with a copy of the state per step. ``networkx``: the graph of all states built as a networkx graph and
searched there. A cell is ``seconds (states or nodes, MiB)``; ``-`` is not finished within the limit.
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import networkx as nx

from stepwell.model.tri import Tri
from stepwell.orders.branches import branches
from stepwell.orders.compile import compile_body
from stepwell.orders.control import Control
from stepwell.orders.count import count_orders
from stepwell.orders.program import Do, turn
from stepwell.orders.search import Bounds, search
from tests.bench import families
from tests.bench.stepped import Stepped
from tests.orders.boolean.causes import decide as causes
from tests.orders.boolean.declare import declare
from tests.orders.boolean.instance import Instance
from tests.orders.boolean.promela import COMPILER, SPIN, ask
from tests.orders.boolean.sliced import Decision, decide
from tests.orders.boolean.solver import Positions, z3

ROOT = Path(__file__).parent.parent.parent
FAMILIES: dict[str, Callable[..., Instance]] = {
    "W": families.w,
    "D": families.d,
    "R": families.r,
    "G": families.g,
    "E": families.e,
}
ROWS = (
    "E",
    "W 3x12",
    "W 4x20",
    "W 5x20",
    "W 13x30",
    "D 3x12",
    "D 4x20",
    "D 5x20",
    "D 12x30",
    "R 32",
    "R 48",
    "G 48",
    "G 64",
)
UNBOUNDED = 10**9
Cell = dict[str, float | int | str | None]


def instance(row: str) -> Instance:
    name, _, sizes = row.partition(" ")
    return FAMILIES[name](*map(int, sizes.split("x"))) if sizes else FAMILIES[name]()


def one_by_one(decided: Callable[..., tuple[Decision, ...]], made: Instance, limit: float) -> Cell:
    """A way that takes one hazard after another, each with its share of the time."""
    program, world = compile_body(made.body), declare(made)
    began = time.perf_counter()
    bounds = Bounds(states=UNBOUNDED, seconds=limit / len(made.rules), memory=1000)
    found = decided(program, world, bounds=bounds, clock=time.monotonic)
    return {
        "seconds": time.perf_counter() - began,
        "states": sum(one.states for one in found),
        "violated": sum(one.run is not None for one in found),
        "undecided": sum(not one.decided for one in found),
    }


def plain(made: Instance, limit: float) -> Cell:
    program, world = compile_body(made.body), declare(made)
    began = time.perf_counter()
    found = search(program, world, bounds=Bounds(states=UNBOUNDED, seconds=limit, memory=2000), clock=time.monotonic)
    return {
        "seconds": time.perf_counter() - began if found.complete else None,
        "states": found.states,
        "violated": len(found.violated),
    }


def spin(made: Instance, limit: float) -> Cell:
    if SPIN is None or COMPILER is None:
        return {"seconds": None, "note": "absent"}
    with tempfile.TemporaryDirectory() as folder:
        answer = ask(made, compile_body(made.body), Path(folder), limit)
    return {
        "seconds": answer.seconds if answer.complete else None,
        "apart": answer.preparing,
        "states": answer.states,
        "violated": len(answer.shortest),
        "memory": answer.megabytes,
    }


def positions(made: Instance, limit: float) -> Cell:
    if z3 is None:
        return {"seconds": None, "note": "absent"}
    began = time.perf_counter()
    solver = Positions(made, compile_body(made.body))
    found = [solver.shortest(rule, limit) for rule in made.rules]
    return {"seconds": time.perf_counter() - began, "violated": sum(one is not None for one in found)}


def steps(made: Instance, limit: float) -> Cell:
    if z3 is None:
        return {"seconds": None, "note": "absent"}
    began = time.perf_counter()
    violated = Stepped(made, compile_body(made.body)).all()
    return {"seconds": time.perf_counter() - began, "violated": violated}


def networkx(made: Instance, limit: float) -> Cell:
    program, world = compile_body(made.body), declare(made)
    began = time.perf_counter()
    control, graph = Control(program), nx.DiGraph()
    bad: dict[str, list[tuple[int, int]]] = {}
    todo = [(control.start().mask, start) for start in world.starts()]
    graph.add_nodes_from(todo)
    while todo:
        mask, state = place = todo.pop()
        if mask == program.full:
            for rule in world.finish(state):
                bad.setdefault(rule, []).append(place)
        for index in control.expand(control.anew(mask).ready):
            node = program.nodes[index]
            ways = []
            if isinstance(node, Do):
                acted = world.act(state, node)
                for rule in acted.broke:
                    bad.setdefault(rule, []).append(place)
                ways = [] if acted.state is None else [((0, 0), acted.state, 1)]
            else:
                ways = [(turn(node, way.option), way.state, 0) for way in branches(world, node, state).ways]
                assert all(way.truth is not Tri.NO for way in branches(world, node, state).ways)
            for (skips, undoes), after, weight in ways:
                spot = control.turned(mask, control.anew(mask).ready, index, skips, undoes)
                then = (spot.mask, after)
                if then not in graph:
                    todo.append(then)
                graph.add_edge(place, then, weight=weight)
    starts = {(control.start().mask, start) for start in world.starts()}
    lengths = nx.multi_source_dijkstra_path_length(graph, starts)
    assert all(min(lengths[place] for place in places) >= 0 for places in bad.values())
    return {"seconds": time.perf_counter() - began, "states": len(graph), "violated": len(bad)}


WAYS: dict[str, Callable[[Instance, float], Cell]] = {
    "causes": partial(one_by_one, causes),
    "slices": partial(one_by_one, decide),
    "plain": plain,
    "spin": spin,
    "z3 positions": positions,
    "z3 steps": steps,
    "networkx": networkx,
}


def cell(row: str, way: str, limit: float) -> Cell:
    """One cell in a process of its own."""
    command = [sys.executable, "-m", "tests.bench.bench_sides", "--cell", row, way, "--limit", str(limit)]
    try:
        ran = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=limit + 15, check=False)
    except subprocess.TimeoutExpired:
        return {"seconds": None}
    return json.loads(ran.stdout) if ran.returncode == 0 else {"seconds": None, "note": "failed"}  # type: ignore[no-any-return]


def one_cell(row: str, way: str, limit: float) -> Cell:
    resource.setrlimit(resource.RLIMIT_AS, (4 << 30, 4 << 30))
    found = WAYS[way](instance(row), limit)
    found.setdefault("memory", resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
    if isinstance(found.get("seconds"), float) and float(found["seconds"] or 0) > limit:
        found["seconds"] = None
    return found


def shown(found: Cell, ours: float | None) -> str:
    if found.get("seconds") is None:
        return str(found.get("note", "-"))
    seconds = float(found["seconds"] or 0)
    text = f"{seconds:.3f}"
    if "apart" in found:
        text += f"+{float(found['apart'] or 0):.1f}"
    if ours:
        text += f" x{(seconds + float(found.get('apart') or 0)) / ours:.0f}"
    inner = [f"{found['states']}" if "states" in found else "", f"{float(found['memory'] or 0):.0f} MiB"]
    if found.get("undecided"):
        inner.append(f"{found['undecided']} undecided")
    return f"{text} ({', '.join(one for one in inner if one)})"


def table(limit: float) -> None:
    """Print the table row by row. ``x`` is the time by that of the causes, compiling included."""
    print(f"limit {limit:g} s of wall time per cell; seconds (states, MiB); x: times the time of the causes")
    for row in ROWS:
        made = instance(row)
        counted = count_orders(compile_body(made.body))
        many = f"{'' if counted.exact else '>= '}10^{len(str(counted.number)) - 1}"
        cells = {way: cell(row, way, limit) for way in WAYS}
        told = {
            str(one.get("violated")) for one in cells.values() if one.get("seconds") is not None and not one.get("undecided")
        }
        agree = "agree" if len(told) <= 1 else f"DISAGREE {sorted(told)}"
        base = cells["causes"].get("seconds")
        ours = float(base) if isinstance(base, float) else None
        size = f"{len(made.deeds)} actions, {len(made.rules)} rules, {many} orders"
        print(f"{row}: {size}, violated {'/'.join(sorted(told)) or 'unknown'}, {agree}")
        for way, found in cells.items():
            print(f"    {way:13}{shown(found, None if way == 'slices' else ours)}", flush=True)


def largest(limit: float) -> None:
    """Print the largest size of each family that each way finishes."""
    sizes = {
        "W": [f"W {k}x20" for k in range(2, 13)],
        "D": [f"D {k}x20" for k in range(2, 13)],
        "R": [f"R {n}" for n in range(16, 129, 16)],
        "G": [f"G {n}" for n in range(16, 129, 16)],
    }
    for name, rows in sizes.items():
        for way in WAYS:
            best = "none"
            for row in rows:
                found = cell(row, way, limit)
                if found.get("seconds") is None or found.get("undecided"):
                    break
                best = row
            print(f"{name}: {way:13} {best}{' (largest tried)' if best == rows[-1] else ''}", flush=True)


def demo() -> None:
    """Print the figures of the demo unit: the search, the witnesses and the slips of each procedure."""
    from stepwell.report.check import Options, check_procedure
    from stepwell.slips.find import find_slips
    from tests.demo import workspace

    for procedure in workspace().procedures:
        began = time.perf_counter()
        report = check_procedure(workspace(), procedure, clock=time.monotonic, options=Options(bites=False))
        searched = time.perf_counter()
        check_procedure(workspace(), procedure, clock=time.monotonic, options=Options())
        whole = time.perf_counter()
        slips = find_slips(workspace(), procedure, clock=time.monotonic)
        done = time.perf_counter()
        count = 0 if slips is None else len(slips.slips)
        print(
            f"{procedure.id:28} {report.states:6} states  search {searched - began:6.3f} s  "
            f"with witnesses {whole - searched:6.3f} s  {count:4} slips {done - whole:6.3f} s",
            flush=True,
        )


def main() -> None:
    """One cell for the parent process, or what was asked for."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--limit", type=float, default=20.0)
    parser.add_argument("--largest", action="store_true")
    parser.add_argument("--demo", action="store_true")
    parser.add_argument("--cell", nargs=2)
    args = parser.parse_args()
    if args.cell:
        print(json.dumps(one_cell(*args.cell, args.limit)))
    elif args.largest:
        largest(args.limit)
    else:
        if not args.demo:
            table(args.limit)
        demo()


if __name__ == "__main__":
    main()
