"""Unit factors against NIST Special Publication 811 (2008), Appendix B.

Printed there to seven digits, or exactly (bold in print).  Rows marked `memory` were written down
from memory of Appendix B.8 and not looked up; each of them also follows from the exact ones.
"""

from __future__ import annotations

import pytest

from mouldgen import units

EXACT = [
    (units.length, "1 in", 25.4),
    (units.length, "1 ft", 304.8),
    (units.mass, "1 lb", 453.59237),
    (units.force, "1 lbf", 4.4482216152605),
    (units.force, "1 kgf", 9.80665),
    (units.volume, "1 US gal", 3785.411784),
    (units.volume, "1 US fl oz", 29.5735295625),
    (units.volume, "1 US cup", 236.5882365),
    (units.volume, "1 imp fl oz", 28.4130625),
    (units.volume, "1 in3", 16.387064),
    (units.pressure, "1 bar", 100.0),
    (units.viscosity, "1 cP", 0.001),
    (units.time, "1 h", 3600.0),
    (units.time, "1 d", 86400.0),
    (units.temperature, "32 F", 0.0),
    (units.temperature, "212 F", 100.0),
    (units.temperature, "-40 F", -40.0),
    (units.temperature, "77 F", 25.0),
]

SEVEN_DIGITS = [
    (units.pressure, "1 psi", 6.894757),
    (units.mass, "1 weight oz", 28.34952),  # memory
    (units.force, "1 lbf", 4.448222),  # memory
    (units.density, "1 lb/ft3", 0.01601846),  # memory
    (units.volume, "1 US fl oz", 29.57353),  # memory
    (units.volume, "1 imp fl oz", 28.41306),  # memory
]


@pytest.mark.parametrize(("read", "text", "value"), EXACT, ids=[row[1] for row in EXACT])
def test_factors_exact_by_definition_are_exact(read, text, value):
    assert read(text) == value


@pytest.mark.parametrize(
    ("read", "text", "value"), SEVEN_DIGITS, ids=[row[1] for row in SEVEN_DIGITS]
)
def test_printed_factors_agree_to_their_last_digit(read, text, value):
    assert float(f"{read(text):.7g}") == value


def test_psi_agrees_with_the_longer_printed_factor():
    assert units.pressure("1 psi") * 1000 == pytest.approx(6894.757293, abs=5e-7)  # Pa


def test_an_atmosphere_is_its_printed_psi():
    # SP 811: 101325 Pa exactly; 14.6959488 psi follows from the factors above.
    assert units.psi(101.325) == pytest.approx(14.6959488, abs=5e-8)


def test_the_two_fluid_ounces_differ_by_four_percent():
    assert units.us_fl_oz(29.5735295625) == 1.0
    assert units.imperial_fl_oz(28.4130625) == 1.0
    assert units.volume("1 US fl oz") / units.volume("1 imp fl oz") == pytest.approx(
        29.5735295625 / 28.4130625, rel=1e-15
    )
