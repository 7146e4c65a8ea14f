"""The search by an explicit-state model checker: one process, one bit per settled node and per fact, no reduction.

The order is that of the compiled program; what actions do, need and violate is read from the instance. Lengths are
counted in the state, so that the least length over all transitions met is the shortest.
"""

from __future__ import annotations

import shutil
import subprocess
import time
from dataclasses import dataclass
from pathlib import Path

from stepwell.model.predicate import Predicate
from stepwell.orders.program import Ask, Bar, Do, End, Look, Loop, Program, bits

from .instance import Instance, Literals, literals_of

SPIN = shutil.which("spin")
COMPILER = shutil.which("gcc")
MISSING = "spin or gcc is not installed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """``shortest``: rule to length; ``seconds``: search alone, ``preparing``: translating and compiling."""

    shortest: dict[str, int]
    states: int
    seconds: float
    preparing: float
    complete: bool
    megabytes: float


def conjunction(instance: Instance, literals: Literals) -> str:
    number = {name: index for index, name in enumerate(instance.facts)}
    return " && ".join(f"{'' if value else '!'}f{number[name]}" for name, value in literals) or "true"


def note(instance: Instance, moment: str, verb: str = "") -> str:
    """Statements that note every rule that is violated at this moment."""
    text = ""
    for index, rule in enumerate(instance.rules):
        if rule.moment == moment and rule.verb == (verb or rule.verb):
            text += f" if :: ({conjunction(instance, rule.bad)}) -> c_code {{ met({index}); }} :: else fi;"
    return text


def doing(instance: Instance, node: Do) -> str:
    text = "length++;"
    for action in node.actions:
        deed = instance.deeds[action.verb]
        inner = note(instance, "before", action.verb)
        inner += f" if :: !({conjunction(instance, deed.needs)}) -> over = 1; :: else fi;"
        effects = ""
        for index, (when, (name, value)) in enumerate(deed.effects):
            fact = instance.facts.index(name)
            inner += f" w{index} = ({conjunction(instance, when)});"
            effects += f" if :: w{index} -> f{fact} = {int(value)} :: else fi;"
        inner += f" if :: !over ->{effects} skip; :: else fi; w0 = 0; w1 = 0;"
        text += f" if :: !over -> {inner} :: else fi;"
    return text + f" if :: !over -> {note(instance, 'after')} skip; :: else fi;"


def settle(indices: tuple[int, ...]) -> str:
    return "".join(f" d{index} = 1;" for index in indices)


def model(instance: Instance, program: Program) -> str:
    """The model's text."""

    def so(predicates: tuple[Predicate, ...]) -> str:
        return " && ".join(f"({conjunction(instance, literals_of(each))})" for each in predicates) or "true"

    ready = [
        " && ".join((f"!over && !d{index}", *(f"d{need}" for need in bits(needs))))
        for index, needs in enumerate(program.needs)
    ]
    lines: list[str] = []
    for index, node in enumerate(program.nodes):
        match node:
            case Do():
                lines.append(f":: d_step {{ {ready[index]} -> {doing(instance, node)} d{index} = 1; }}")
            case Look(conditions=conditions) | Bar(conditions=conditions):
                lines.append(f":: d_step {{ {ready[index]} && {so(conditions)} -> d{index} = 1; }}")
            case Ask(options=options):
                for option in options:
                    guard = so(() if option.guard is None else (option.guard,))
                    lines.append(f":: d_step {{ {ready[index]} && {guard} -> {settle((index, *bits(option.skips)))} }}")
            case Loop() | End():
                raise ValueError("repeats and ends are not translated")
    every = " && ".join(f"d{index}" for index in range(len(program.nodes)))
    lines.append(f":: d_step {{ !over && {every} ->{note(instance, 'end')} over = 1; }}")
    lines.append(":: over -> break")
    rules = len(instance.rules)
    names = [f"d{index}" for index in range(len(program.nodes))] + [f"f{index}" for index in range(len(instance.facts))]
    starts = "\n".join(
        ":: d_step { true -> " + " ".join(f"f{instance.facts.index(name)} = 1;" for name in sorted(start)) + " skip; }"
        for start in instance.starts
    )
    return f"""c_decl {{
  static int best[{rules}];
  static void tell(void) {{ int i; for (i = 0; i < {rules}; i++) printf("LEAST %d %d\\n", i, best[i]); }}
}}
c_code {{ static void met(int rule) {{ if (!best[rule] || now.length + 1 < best[rule]) best[rule] = now.length + 1; }} }}
{"".join(f"bit {name};" + chr(10) for name in names)}
byte length; bit over; hidden byte w0; hidden byte w1;
init {{
  d_step {{ c_code {{ atexit(tell); }}; skip; }}
  if
  {starts}
  fi;
  do
  {chr(10).join(lines)}
  od
}}
"""


def ask(instance: Instance, program: Program, folder: Path, seconds: float = 60.0) -> Answer:
    """Translate, compile and search everything in ``folder``."""
    assert SPIN is not None
    assert COMPILER is not None
    began = time.perf_counter()
    (folder / "m.pml").write_text(model(instance, program), encoding="utf-8")
    subprocess.run([SPIN, "-a", "m.pml"], cwd=folder, check=True, capture_output=True)
    flags = ["-O1", "-w", "-DSAFETY", "-DNOREDUCE", "-DVECTORSZ=2048", "-DMEMLIM=1500", "-o", "pan", "pan.c"]
    subprocess.run([COMPILER, *flags], cwd=folder, check=True, capture_output=True)
    compiled = time.perf_counter()
    try:
        out = subprocess.run(
            ["./pan", "-m100000", "-E", "-n"], cwd=folder, check=False, capture_output=True, text=True, timeout=seconds
        ).stdout
    except subprocess.TimeoutExpired:
        return Answer(
            shortest={}, states=0, seconds=seconds, preparing=compiled - began, complete=False, megabytes=float("nan")
        )
    done = time.perf_counter()
    shortest: dict[str, int] = {}
    states, memory = 0, 0.0
    for line in out.splitlines():
        words = line.split()
        if words[:1] == ["LEAST"] and int(words[2]):
            shortest[instance.rules[int(words[1])].name] = int(words[2]) - 1
        if line.endswith("states, stored"):
            states = int(words[0])
        if "total actual memory usage" in line:
            memory = float(words[0])
    complete = "errors: 0" in out and "max search depth too small" not in out and "out of memory" not in out
    return Answer(
        shortest=shortest,
        states=states,
        seconds=done - compiled,
        preparing=compiled - began,
        complete=complete,
        megabytes=memory,
    )
