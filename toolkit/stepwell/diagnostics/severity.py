"""How bad a finding is, and the signal word that people see for it."""

from __future__ import annotations

from enum import IntEnum, StrEnum


class Severity(IntEnum):
    """Severity of harm; larger is worse, so that a threshold is a comparison."""

    MINOR = 1
    SERIOUS = 2
    FATAL = 3

    @property
    def word(self) -> str:
        """The word used in files and reports: ``minor``, ``serious`` or ``fatal``."""
        return self.name.lower()


class Certainty(StrEnum):
    """Whether the harm follows surely or possibly once the hazard is met."""

    WILL = "will"
    COULD = "could"


def signal_word(severity: Severity, certainty: Certainty) -> str:
    """The signal word for an injury, computed so that it never drifts.

    Source: ANSI Z535.4 (as quoted): DANGER will cause death or serious injury, WARNING could, CAUTION minor or moderate.
    """
    if severity is Severity.MINOR:
        return "CAUTION"
    return "DANGER" if certainty is Certainty.WILL else "WARNING"
