"""Questions about equipment that verbs and facts share: where gas comes from, what is on its way."""

from __future__ import annotations

from typing import Final, Protocol

from stepwell.circuit.compile_rig import figure
from stepwell.circuit.layout import Layout
from stepwell.model.rig import Part

DEFAULT_PROOF_SECONDS: Final = 600.0
"""A battery counts as proven after this long where the rig states no ``proof-time`` (common practice)."""

SAFETY_FACTOR: Final = 2.0
"""Gas and battery must last twice the journey (open teaching notes on oxygen for transfer)."""


class Words(Protocol):
    """What a bench and a view have in common."""

    layout: Layout

    def word(self, part: str, name: str) -> str:
        """The word that a variable of a part has."""
        ...


def parts_of(layout: Layout, kind: str) -> tuple[Part, ...]:
    """The rig's parts of a kind, in its order."""
    key = "parts of a kind", kind
    found: tuple[Part, ...] | None = layout.memory.get(key)
    if found is None:
        found = layout.memory[key] = tuple(part for part in layout.rig.parts if part.kind == kind)
    return found


def source_of(here: Words, gas: str) -> Part | None:
    """The gas source that a gas supply is connected to, open or not; None where it is on none."""
    return here.layout.rig.part(here.word(gas, "source"))


def open_source_of(here: Words, gas: str) -> Part | None:
    """The gas source that a gas supply is connected to, if its valve is open."""
    source = source_of(here, gas)
    return source if source is not None and here.word(source.id, "gate") == "open" else None


def gas_flows(here: Words, gas: str) -> bool:
    """The flow meter is on and gas reaches it. A rig that lists no gas sources leaves that to its reader."""
    if here.word(gas, "gas") != "gas-on":
        return False
    return not parts_of(here.layout, "gas-source") or open_source_of(here, gas) is not None


def on_its_way(here: Words) -> Part | None:
    """A frame that is moving."""
    return next((part for part in parts_of(here.layout, "frame") if here.word(part.id, "place") == "moving"), None)


def packed_away(here: Words, parts: tuple[str, ...]) -> str | None:
    """Why nobody can get at an end that lies in a pack; None where all of ``parts`` are in reach."""
    for pack in parts_of(here.layout, "sterile-pack"):
        inside = next((part for part in parts if part in pack.ref("ends")), None)
        if inside is not None and here.word(pack.id, "wrap") != "on-field":
            labels = here.layout.labels
            return f"{labels[inside]} lies in {labels[pack.id]}, which is not on the field"
    return None


def gas_lasts(layout: Layout, source: Part, frame: Part) -> bool:
    """The source holds twice what all gas supplies of the rig take on the journey; False where a figure is missing."""
    holds, journey = figure(source, "holds", "L"), figure(frame, "journey", "min")
    flows = [figure(part, "flow", "L/min") for part in parts_of(layout, "gas-supply")]
    known = [flow for flow in flows if flow is not None]
    if holds is None or journey is None or not known or len(known) < len(flows):
        return False
    return holds >= SAFETY_FACTOR * sum(known) * journey


def battery_lasts(power: Part, frame: Part) -> bool:
    """The battery carries the console for twice the journey; False where a figure is missing."""
    lasts, journey = figure(power, "lasts", "min"), figure(frame, "journey", "min")
    return lasts is not None and journey is not None and lasts >= SAFETY_FACTOR * journey


def time_on_battery(layout: Layout, values: list[int], seconds: float) -> None:
    """A stated time spent on battery proves it, if it is long enough."""
    for part in parts_of(layout, "power"):
        if values[layout.variable(part.id, "supply")] == 0:
            continue
        needed = figure(part, "proof-time", "s")
        if seconds >= (DEFAULT_PROOF_SECONDS if needed is None else needed):
            values[layout.variable(part.id, "battery")] = 1
