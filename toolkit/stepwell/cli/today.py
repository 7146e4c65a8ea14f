"""The clock: the only place that asks what day it is."""

from __future__ import annotations

from datetime import date


def today() -> date:
    """The day on this computer."""
    return date.today()
