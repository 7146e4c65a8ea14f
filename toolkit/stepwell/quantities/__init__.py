"""Sums about equipment: units, tubing volume, hydrostatic head. No dose, ever."""
