"""A unit's folder, read."""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.model.accepted import Accepted
from stepwell.model.procedure import Procedure
from stepwell.model.rig import Rig
from stepwell.model.rule import Rule
from stepwell.model.translation import Translation
from stepwell.model.unit import Unit
from stepwell.model.waiver import Waiver


@dataclass(frozen=True, slots=True, kw_only=True)
class Workspace:
    """Everything a check needs. ``rules`` are the built-in catalogue followed by the unit's own, in order of code."""

    unit: Unit
    rigs: tuple[Rig, ...]
    rules: tuple[Rule, ...]
    procedures: tuple[Procedure, ...]
    root: str = ""
    waivers: tuple[Waiver, ...] = ()
    translations: tuple[Translation, ...] = ()
    accepted: tuple[Accepted, ...] = ()
