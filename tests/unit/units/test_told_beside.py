"""A sentence in mm and degC, retold for a reader of inches and degF."""

from __future__ import annotations

import pytest

from mouldgen.units import fahrenheit, fahrenheit_degrees
from mouldgen.units.beside import as_written, in_both, with_fahrenheit, with_inches


@pytest.mark.parametrize(
    ("told", "shown"),
    [
        # T/F = 1.8 t/C + 32, exact (NIST SP 811, B.8).
        ("softens at 76 degC.", "softens at 76 degC (168.8 degF)."),
        ("cool to -40 degC", "cool to -40 degC (-40 degF)"),
        ("at 0 degC", "at 0 degC (32 degF)"),
        ("100 degC and 37 degC", "100 degC (212 degF) and 37 degC (98.6 degF)"),
        # 56 C are 132.8 F and 61 C are 141.8: outward, so that what is told holds.
        ("56 to 61 degC", "56 to 61 degC (132 to 142 degF)"),
        ("-4 to 0 degC", "-4 to 0 degC (24 to 32 degF)"),
        # A difference has no zero: 10 K are 18 F degrees, and not 50.
        ("10 C degrees below", "10 C degrees (18 F degrees) below"),
        ("rises by 20 C degrees", "rises by 20 C degrees (36 F degrees)"),
        ("4 to 8 C degrees warmer", "4 to 8 C degrees (7.2 to 14.4 F degrees) warmer"),
        *[(text, text) for text in (
            "76 degC (168.8 degF)", "W/(m2 degC)", "such as 21 degC", '"21 degC"', "1.5 deg",
        )],
    ],
)  # fmt: skip
def test_temperatures_have_fahrenheit_beside_them(told: str, shown: str) -> None:
    assert with_fahrenheit(told) == shown
    assert with_fahrenheit(shown) == shown


def test_a_rise_is_no_temperature() -> None:
    assert fahrenheit_degrees(20.0) == 36.0
    assert fahrenheit(45.0) - fahrenheit(25.0) == pytest.approx(fahrenheit_degrees(20.0))


WRITTEN = {38.1: "1.5 in", 22.225: "7/8 in", 0.0: "0 in"}


@pytest.mark.parametrize(
    ("told", "shown"),
    [
        # 1.5 in and not 1 1/2 in: as it stands in the file.
        ("a hole of 38.1 mm", "a hole of 38.1 mm (1.5 in)"),
        ("a rod of 22.23 mm", "a rod of 22.23 mm (7/8 in)"),  # to the hundredth that is told
        ("at most 22.2 mm", "at most 22.2 mm (0.874 in)"),  # a limit beside it is not theirs
        ("more than 0 mm", "more than 0 mm"),
    ],
)
def test_what_the_maker_wrote_is_told_as_written(told: str, shown: str) -> None:
    assert with_inches(told, written=WRITTEN) == shown
    assert in_both(told, inches=True, written=WRITTEN) == shown


def test_a_reader_of_mm_is_told_no_inches_but_those_he_wrote() -> None:
    told = "38.1 mm deep in 20 mm at 76 degC"
    assert as_written(told, WRITTEN) == "38.1 mm (1.5 in) deep in 20 mm at 76 degC"
    assert in_both(told, inches=False, written=WRITTEN) == as_written(told, WRITTEN)
    assert in_both(told, inches=False) == told
    assert (
        in_both(told, inches=True)
        == "38.1 mm (1 1/2 in) deep in 20 mm (0.787 in) at 76 degC (168.8 degF)"
    )
