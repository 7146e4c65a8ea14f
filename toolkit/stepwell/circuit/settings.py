"""Words of a baseline or of a procedure's starts, turned into values of state variables."""

from __future__ import annotations

from collections.abc import Iterable

from stepwell.circuit.compile_rig import CONTENTS, DEFAULT_IDLE_RPM, figure
from stepwell.circuit.kinds import part_kind
from stepwell.circuit.layout import BARE, COVERED, FIRST_MATE, Layout, State
from stepwell.model.rig import Baseline, Setting

DEFAULT_WORKING_RPM = 2000


class SettingError(ValueError):
    """A setting that the part's kind does not know; the loader reports these before they can happen here."""


def apply_settings(layout: Layout, state: State, settings: Iterable[Setting]) -> State:
    """Return the state with these settings made; several words for one part set several of its variables."""
    values = list(state)
    for setting in settings:
        for variable, value in values_of(layout, setting):
            values[variable] = value
    return tuple(values)


def values_of(layout: Layout, setting: Setting) -> tuple[tuple[int, int], ...]:
    """The (variable, value) pairs that one setting means. Raises SettingError for a word the part does not know."""
    part = layout.rig.part(setting.part)
    kind = None if part is None else part_kind(part.kind)
    if part is None or kind is None:
        raise SettingError(f"the rig has no part {setting.part}")
    if setting.word.startswith("joined:"):
        numbers = {end.part: number for number, end in enumerate(layout.ends)}
        other = setting.word.removeprefix("joined:")
        return ((layout.variable(part.id, "mate"), FIRST_MATE + numbers[other]),)
    if setting.word.startswith("connected:"):
        number = layout.variable(part.id, "source")
        return ((number, layout.variables[number].words.index(setting.word.removeprefix("connected:"))),)
    for name, words in kind.variables:
        if setting.word in words:
            number = layout.variable(part.id, name)
            match name:
                case "contents":
                    return (
                        (number, CONTENTS[setting.word]),
                        *_cleared(layout, part.id, setting.word),
                        *_brims(layout, part.id),
                    )
                case "mate":
                    return ((number, BARE if setting.word == "bare" else COVERED),)
                case "speed":
                    working = figure(part, "working-speed", "rpm") or DEFAULT_WORKING_RPM
                    idle = figure(part, "idle-speed", "rpm") or DEFAULT_IDLE_RPM
                    return ((number, {"stopped": 0, "idle": int(idle), "running": int(working)}[setting.word]),)
                case _:
                    return ((number, words.index(setting.word)),)
    raise SettingError(f"{setting.part} has no state called {setting.word}")


def _cleared(layout: Layout, part: str, word: str) -> tuple[tuple[int, int], ...]:
    """A part that starts air-free has had its clearing runs."""
    cycles = layout.index.get((part, "cycles"))
    if cycles is None or word not in ("clear", "blood"):
        return ()
    found = layout.rig.part(part)
    runs = None if found is None else found.figure("clear-runs")
    return () if runs is None else ((cycles, int(runs.value)),)


def _brims(layout: Layout, part: str) -> tuple[tuple[int, int], ...]:
    """How air that is stated came in is not known, so no end is told to be where it did."""
    return tuple((end.brim, 0) for end in layout.ends if layout.spaces[end.space].part == part)


def baseline_state(layout: Layout, baseline: Baseline) -> State:
    """The state that a named baseline describes."""
    return apply_settings(layout, layout.defaults, baseline.settings)
