"""Figures of a patient, for trainers' material. No sum of the site and no card is made of them."""

from __future__ import annotations

from math import sqrt

from stepwell.model.quantity import Quantity
from stepwell.quantities.fluids import positive
from stepwell.quantities.formula import Figure, Formula
from stepwell.quantities.units import UnitMismatchError

HAEMODILUTION = Formula(
    name="haemodilution",
    title="Haematocrit after the prime has mixed in",
    equation="Hct_2 = Hct_1 BV / (BV + PV)",
    source="Mean by volume",
    mark="physics",
    validity="For trainers. Leaves out losses and shifts of fluid; the same form holds for haemoglobin.",
    example="0.35, 4,900 mL of blood, 587 mL of prime: 0.313, 10.7 % less",
)
BLOOD_VOLUME = Formula(
    name="blood-volume",
    title="Blood volume",
    equation="70 mL/kg; or Nadler: M 0.3669 h^3 + 0.03219 w + 0.6041, F 0.3561 h^3 + 0.03308 w + 0.1833 (L, m, kg)",
    source="Nadler's coefficients as a medical calculator prints them, the best of three formulas by an abstract"
    " (PubMed 35345934)",
    mark="seen",
    validity="For trainers, adults. A fixed 70 mL/kg predicts dilution badly. Another abstract prints garbled coefficients.",
    example="70 kg: 4.90 L; man 1.75 m, 70 kg: 4.82 L; woman 1.65 m, 60 kg: 3.77 L",
)
FLOW_TARGET = Formula(
    name="flow-target",
    title="Flow often aimed at in adults",
    equation="Q = 60 mL/min x kg",
    source="A page of a book on extracorporeal support",
    mark="seen",
    validity="For trainers, adults. What a patient needs is judged at the patient.",
    example="70 kg: 4.2 L/min",
)
BODY_SURFACE = Formula(
    name="body-surface",
    title="Body surface",
    equation="DuBois 0.007184 w^0.425 h^0.725; Mosteller sqrt(h w / 3600) (m², kg, cm)",
    source="DuBois and Mosteller, as a chapter on body surface prints them",
    mark="seen",
    validity="For trainers, adults.",
    example="175 cm, 70 kg: 1.848 and 1.845 m²; 165 cm, 65 kg: 1.716 and 1.726 m²",
)
CARDIAC_INDEX = Formula(
    name="cardiac-index",
    title="Cardiac index",
    equation="CI = CO / BSA",
    source="Definition; the chapter on body surface prints it upside down",
    mark="definition",
    validity="For trainers.",
    example="4.5 L/min, 1.845 m²: 2.44 L/min/m²",
)
NADLER = {"man": (0.3669, 0.03219, 0.6041), "woman": (0.3561, 0.03308, 0.1833)}


def haemodilution(haematocrit: float, blood_volume: Quantity, prime_volume: Quantity) -> Figure:
    """The haematocrit (0 to 1) once ``prime_volume`` has mixed with ``blood_volume``."""
    if not 0 < haematocrit < 1:
        raise UnitMismatchError(f"a haematocrit lies between 0 and 1, not {haematocrit}")
    blood = positive(blood_volume, "L", "blood volume")
    return Figure(value=haematocrit * blood / (blood + positive(prime_volume, "L", "prime volume")), unit="")


def blood_volume_by_weight(mass: Quantity) -> Figure:
    """Litres at 70 mL for each kilogram."""
    return Figure(value=positive(mass, "kg", "mass") * 0.07, unit="L")


def blood_volume(sex: str, height: Quantity, mass: Quantity) -> Figure:
    """Litres after Nadler; ``sex`` is ``man`` or ``woman``."""
    cubic, weight, rest = NADLER[sex]
    return Figure(
        value=cubic * positive(height, "m", "height") ** 3 + weight * positive(mass, "kg", "mass") + rest, unit="L"
    )


def flow_target(mass: Quantity) -> Figure:
    """L/min at 60 mL/min for each kilogram."""
    return Figure(value=positive(mass, "kg", "mass") * 0.06, unit="L/min")


def body_surface_dubois(height: Quantity, mass: Quantity) -> Figure:
    """m² after DuBois."""
    value = 0.007184 * positive(mass, "kg", "mass") ** 0.425 * positive(height, "cm", "height") ** 0.725
    return Figure(value=value, unit="m²")


def body_surface_mosteller(height: Quantity, mass: Quantity) -> Figure:
    """m² after Mosteller."""
    return Figure(value=sqrt(positive(height, "cm", "height") * positive(mass, "kg", "mass") / 3600), unit="m²")


def cardiac_index(output: Quantity, surface: Quantity) -> Figure:
    """L/min for each m² of body surface."""
    return Figure(value=positive(output, "L/min", "output") / positive(surface, "m²", "surface"), unit="L/min/m²")
