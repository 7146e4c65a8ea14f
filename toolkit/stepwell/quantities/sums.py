"""The sums that a page can do: each formula of this package as expressions that Python and a browser read alike.

A browser is given these expressions, not a second writing of them, and tests hold what it shows against the functions of
this package. The limits of the fields are house figures: outside of them a slip in typing is likelier than a circuit.
"""

from __future__ import annotations

from dataclasses import dataclass

from stepwell.quantities.formula import Formula


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """A field: its ``unit`` is that of the expressions, and of the limits, ends included. ``units`` are others that may be
    chosen. ``start`` is what stands in it at first, in ``unit``."""

    name: str
    label: str
    unit: str
    least: float
    most: float
    start: float
    units: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One entry of a list: what it is called, and the values that it stands for."""

    label: str
    values: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pick:
    """A list to choose from. ``start`` is the place of the entry that is chosen at first."""

    name: str
    label: str
    choices: tuple[Choice, ...]
    start: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A sentence that is said where ``when`` is true. ``{name:d}`` in it is a value with d digits after the point."""

    when: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A result: ``name`` of a line, with as many ``digits`` after the point. ``refused`` says where it is not given."""

    name: str
    label: str
    unit: str
    digits: int
    refused: Said | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sum:
    """A formula with its fields, its lines in the order in which they are worked out, and its results.

    An expression knows the fields, the values of the choices, earlier lines, ``pi``, ``sqrt``, ``ceil``, ``max``, ``min``
    and ``balance(f, wanted, high)``: the x below ``high`` at which a growing ``f`` reaches ``wanted``.
    """

    formula: Formula
    given: tuple[Given | Pick, ...]
    lines: tuple[tuple[str, str], ...]
    shown: tuple[Shown, ...]
    refusals: tuple[Said, ...] = ()
    notes: tuple[Said, ...] = ()

    @property
    def fields(self) -> tuple[Given, ...]:
        """The fields that a number is typed into."""
        return tuple(one for one in self.given if isinstance(one, Given))

    @property
    def picks(self) -> tuple[Pick, ...]:
        """The lists."""
        return tuple(one for one in self.given if isinstance(one, Pick))
