"""Tests of the site."""
