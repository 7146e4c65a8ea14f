"""What can be wrong with a rig although its file can be read: open, dangling or silent parts."""

from __future__ import annotations

from stepwell.diagnostics.severity import Severity
from stepwell.report.faults import Fault


def _fault(number: int, name: str, summary: str, severity: Severity = Severity.SERIOUS) -> Fault:
    return Fault(name=name, code=f"SW8{number:02d}", severity=severity, summary=summary)


NOTHING_FITS = _fault(
    1, "nothing-fits-end", "A connector that no other connector of the rig fits, so it can never be joined."
)
ENDS_BLIND = _fault(2, "part-ends-blind", "A part that liquid could flow through has a way in and no way out.")
IN_PIECES = _fault(3, "rig-in-pieces", "Chains that neither meet in a part nor can be joined by their connectors.")
HEIGHT_MISSING = _fault(4, "height-missing", "Without its height nobody can tell how liquid stands in it.", Severity.MINOR)
CAPACITY_MISSING = _fault(5, "capacity-missing", "Without it the prime volume is too small by this part.", Severity.MINOR)
PLACE_MISSING = _fault(6, "place-missing", "A clamp that nobody is told where to find.", Severity.MINOR)
NO_WAY_OUT_FOR_AIR = _fault(7, "no-way-out-for-air", "A pump turns in a loop from which air can't leave.")
PUMP_NOT_DRIVEN = _fault(8, "pump-not-driven", "A pump head that no drive turns, so nothing can be run.")
NO_BASELINE = _fault(9, "no-baseline", "A rig without a named state, so no procedure can say where it starts.")
NO_MAIN_PATH = _fault(10, "no-main-path", "No part has the trait `main`, so rules on air in the main path never look at it.")
TAP_LEADS_NOWHERE = _fault(11, "tap-leads-nowhere", "A tap with nothing on its air side.")
CLAMPS_NOT_TOLD = _fault(
    12, "sensor-clamps-not-told", "A flow sensor without the clamps before and behind it.", Severity.MINOR
)
NOT_DRAWN = _fault(13, "chain-not-drawn", "A chain that could not be drawn beside the others.")

FAULTS: tuple[Fault, ...] = tuple(value for value in tuple(globals().values()) if isinstance(value, Fault))
"""All of them in order of code."""
