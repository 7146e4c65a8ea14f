"""Small rigs for the tests of the circuit, each written as one would in a file, and what tests do to their states."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import yaml

from stepwell.circuit.apply import Done, do
from stepwell.circuit.compile_rig import compile_rig
from stepwell.circuit.fact_table import fact
from stepwell.circuit.layout import Layout, State
from stepwell.circuit.settings import apply_settings, baseline_state
from stepwell.circuit.settle import Event, settle
from stepwell.circuit.view import View
from stepwell.model.procedure import Action
from stepwell.model.rig import Setting
from stepwell.model.tri import Tri
from stepwell.quantities.units import parse_quantity
from stepwell.source.workspace import load_workspace

CASES = Path(__file__).parents[1] / "rules" / "cases"
_UNIT = """\
unit: Unit of the tests
region: eu
languages: [en]
reading-distance: 60 cm
roles: {one: {label: First person, mark: P}}
numbers: {}
"""


def action(verb: str, *parts: str, **options: str | bool) -> Action:
    """An action. Options that begin with a digit are quantities; ``for_`` is written so because ``for`` is taken."""
    made = []
    for name, value in options.items():
        amount = parse_quantity(value) if isinstance(value, str) and value[0].isdigit() else None
        made.append((name.rstrip("_"), value if amount is None else amount))
    return Action(verb=verb, parts=parts, options=tuple(made))


class Bench:
    """One state of one rig; every action returns a new one. ``events`` are those of the last action."""

    def __init__(self, layout: Layout, state: State, events: frozenset[Event] = frozenset()) -> None:
        self.layout = layout
        self.state = state
        self.events = events

    def try_to(self, verb: str, *parts: str, **options: str | bool) -> Done:
        """Do an action, or hear why it can't be done."""
        return do(self.layout, self.state, (action(verb, *parts, **options),))

    def act(self, verb: str, *parts: str, **options: str | bool) -> Bench:
        """Do an action that can be done."""
        done = self.try_to(verb, *parts, **options)
        assert done.state is not None, done.refused
        return Bench(self.layout, done.state, done.events)

    def at_once(self, *actions: Action) -> Bench:
        """Do several actions at once."""
        done = do(self.layout, self.state, actions)
        assert done.state is not None, done.refused
        return Bench(self.layout, done.state, done.events)

    def put(self, **words: str) -> Bench:
        """The same with parts in other states (an underscore stands for a hyphen), settled."""
        settings = [Setting(part=part.replace("_", "-"), word=word) for part, word in words.items()]
        settled = settle(self.layout, apply_settings(self.layout, self.state, settings))
        return Bench(self.layout, settled.state, settled.events)

    def says(self, name: str, *args: str) -> Tri:
        """What a fact says of this state and of the action that led to it."""
        entry = fact(name)
        assert entry is not None
        return entry.evaluate(View(self.layout, self.state, self.events), args)

    def sign(self, space: str) -> int:
        """The possible signs of the pressure in a space."""
        return View(self.layout, self.state).water.pressure[self.layout.space_of[space]]


@cache
def _layout(text: str) -> Layout:
    with TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "rigs").mkdir()
        (folder / "procedures").mkdir()
        (folder / "unit.yaml").write_text(_UNIT, "utf-8")
        (folder / "rigs" / "rig.yaml").write_text(text, "utf-8")
        loaded = load_workspace(folder)
    broken = [finding.message for finding in loaded.findings if "rig" in (finding.span.path if finding.span else "")]
    assert loaded.workspace is not None, broken
    (rig,) = loaded.workspace.rigs
    return compile_rig(rig)


def rig(text: str, baseline: str) -> Bench:
    """The rig of a YAML text, in one of its baselines and settled."""
    layout = _layout(text)
    state = next(baseline_state(layout, found) for found in layout.rig.baselines if found.name == baseline)
    return Bench(layout, settle(layout, state).state)


def case_set(baseline: str, changes: str = "{}") -> Bench:
    """The small set of the rules' cases with ``parts``, ``chains`` and ``baselines`` of ``changes`` put over it."""
    whole, other = yaml.safe_load((CASES / "base-rig.yaml").read_text("utf-8")), yaml.safe_load(changes)
    for part, entry in other.get("parts", {}).items():
        changed = whole["parts"].get(part, {}) | entry
        whole["parts"][part] = {key: value for key, value in changed.items() if value is not None}
    whole["chains"] += other.get("chains", [])
    for name, settings in other.get("baselines", {}).items():
        whole["baselines"].setdefault(name, {}).update(settings)
    return rig(str(yaml.safe_dump(whole, sort_keys=False)), baseline)
