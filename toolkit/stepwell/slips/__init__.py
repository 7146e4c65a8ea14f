"""What a single slip does: omitted, too early, twice, on the look-alike, or unchecked."""

from stepwell.slips.find import find_slips

__all__ = ["find_slips"]
