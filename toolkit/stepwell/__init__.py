"""Stepwell: procedures for extracorporeal life support, written once, checked, printed and published."""

__version__ = "0.1.0"
