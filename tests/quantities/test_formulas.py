"""Every formula says where it comes from, where it holds and how it was tried; and none is about doses."""

from __future__ import annotations

import importlib
import pkgutil

import stepwell.quantities
from stepwell.quantities.formula import Formula
from stepwell.quantities.formulas import FORMULAS, TAUGHT, formula

MARKS = {"physics", "seen", "from memory", "common practice", "definition"}

EVERY = (*FORMULAS, *TAUGHT)


def test_every_formula_is_listed() -> None:
    found = []
    for module in pkgutil.iter_modules(stepwell.quantities.__path__):
        loaded = importlib.import_module(f"stepwell.quantities.{module.name}")
        found += [value for value in vars(loaded).values() if isinstance(value, Formula)]
    assert {entry.name for entry in found} == {entry.name for entry in EVERY}
    assert len({entry.name for entry in EVERY}) == len(EVERY)


def test_every_formula_is_documented() -> None:
    for entry in EVERY:
        assert entry.mark in MARKS, entry.name
        assert all((entry.title, entry.equation, entry.source, entry.validity, entry.example)), entry.name
        assert formula(entry.name) is entry


def test_no_doses() -> None:
    text = " ".join(f"{e.title} {e.equation} {e.validity}" for e in EVERY).lower()
    assert not any(word in text for word in ("dose", "heparin", "units/"))
