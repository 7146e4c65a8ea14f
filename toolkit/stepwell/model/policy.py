"""Orders on which published practice disagrees, so that each unit has to record its own."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Topic:
    """A disputed order. ``choices`` are the words by which a unit records its policy, each with what it means."""

    name: str
    question: str
    choices: tuple[tuple[str, str], ...]

    @property
    def words(self) -> tuple[str, ...]:
        """The words alone."""
        return tuple(word for word, _ in self.choices)


Policy = tuple[tuple[str, str], ...]
"""(topic, word) pairs."""

DISPUTED: tuple[Topic, ...] = (
    Topic(
        name="coming-off",
        question="In what order limbs are shut and the pump is stopped when support is stopped",
        choices=(
            ("return-first", "the return limb, then the drainage limb, then the speed to zero"),
            ("return-and-stop", "the return limb nearest the patient, and the pump off with it"),
            ("stop-first", "the pump off, then the drainage limb"),
            ("both-limbs", "drainage and return limb together"),
        ),
    ),
    Topic(
        name="going-on",
        question="In what order speed is raised and limbs are opened when support begins",
        choices=(
            ("idle-first", "the speed to idle, the limbs opened, then the speed up"),
            ("speed-first", "the speed up against the shut return limb, then the return limb opened"),
        ),
    ),
    Topic(
        name="large-air",
        question="Whether the patient is shut off at once when much air is seen",
        choices=(
            ("clamp-at-once", "shut off at once"),
            ("clamp-when-planned", "nothing is shut or cut until the plan to replace the set is ready"),
        ),
    ),
    Topic(
        name="hand-crank",
        question="Whether the pump can be turned by hand when its drive fails",
        choices=(("crank", "by hand"), ("second-console", "no crank; a second console is at hand")),
    ),
    Topic(
        name="access-ports",
        question="Whether there are ports on the side that draws",
        choices=(("none", "no ports there"), ("in-use", "ports there, each with its own rules")),
    ),
)


def topic(name: str) -> Topic | None:
    """The topic of this name, or None."""
    return next((one for one in DISPUTED if one.name == name), None)
