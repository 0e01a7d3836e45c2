"""How quantities are read."""

from __future__ import annotations

import sys

import pytest

from mouldgen import units
from mouldgen.errors import UnitError

ALL = [
    units.length, units.time, units.temperature, units.force, units.pressure, units.mass,
    units.density, units.viscosity, units.angle, units.volume,
]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("22 mm", 22.0),
        ("22mm", 22.0),
        ("  22   MM ", 22.0),
        ("2.2cm", 22.0),
        ("0.3 m", 300.0),
        (".5 mm", 0.5),
        ("5. mm", 5.0),
        ("+5 mm", 5.0),
        ("2.5e1 mm", 25.0),
        ("0 mm", 0.0),
        ("-0 mm", 0.0),
        ("7/8 in", 22.225),
        ("7/8in", 22.225),
        ("7 / 8 in", 22.225),
        ("9/8 in", 28.575),
        ('1-1/8"', 28.575),
        ("1 1/8 in", 28.575),
        ("1 - 1/8 inches", 28.575),
        ("1–1/8 in", 28.575),
        ("1 3/16 in", 30.1625),
        ("1 inch", 25.4),
        ("1″", 25.4),
        ("1”", 25.4),
        ("½ in", 12.7),
        ("1½ in", 38.1),
        ("1 ½ in", 38.1),
        ('2¼"', 57.15),
        ("⅜″", 9.525),
        ("1\u20444 in", 6.35),
        ("2 ft", 609.6),
        ("22\u00a0mm", 22.0),
        ("1000000 mm", 1e6),
    ],
)
def test_lengths_as_people_write_them(text, mm):
    assert units.length(text) == mm


@pytest.mark.parametrize(
    ("read", "text", "value"),
    [
        (units.time, "90 s", 90.0),
        (units.time, "25 min", 1500.0),
        (units.time, "1 1/2 h", 5400.0),
        (units.time, "3 d", 259200.0),
        (units.temperature, "25 C", 25.0),
        (units.temperature, "25 °C", 25.0),
        (units.temperature, "25 ℃", 25.0),
        (units.temperature, "77°F", 25.0),
        (units.temperature, "-18 C", -18.0),
        (units.temperature, "−18 C", -18.0),
        (units.temperature, "-273.15 C", -273.15),
        (units.force, "20 N", 20.0),
        (units.force, "1 gf", 0.00980665),
        (units.pressure, "3.4 bar", 340.0),
        (units.pressure, "300 kPa", 300.0),
        (units.pressure, "0.3 MPa", 300.0),
        (units.pressure, "3.4 bar gauge", 340.0),
        (units.mass, "100 g", 100.0),
        (units.mass, "1.5 kg", 1500.0),
        (units.mass, "16 oz wt", 453.59237),
        (units.density, "0.68 g/ml", 0.68),
        (units.density, "0.68 g/cm³", 0.68),
        (units.density, "680 kg/m3", 0.68),
        (units.density, "680 kg/m^3", 0.68),
        (units.viscosity, "0.5 Pa s", 0.5),
        (units.viscosity, "0.5 Pa·s", 0.5),
        (units.viscosity, "500 mPa s", 0.5),
        (units.viscosity, "500 cP", 0.5),
        (units.angle, "1.5 deg", 1.5),
        (units.angle, "1.5°", 1.5),
        (units.volume, "240 ml", 240.0),
        (units.volume, "240 cc", 240.0),
        (units.volume, "1 cm³", 1.0),
        (units.volume, "1 L", 1000.0),
        (units.volume, "8 US fl oz", 236.5882365),
        (units.volume, "8 U.S. fl. oz.", 236.5882365),
        (units.volume, "8 imperial fl oz", 227.3045),
    ],
)
def test_other_quantities_as_people_write_them(read, text, value):
    assert read(text) == value


@pytest.mark.parametrize("text", ["50 psi", "50 psi gauge", "50 psig", "50 PSI", "50 psi (gauge)"])
def test_pressure_is_gauge_however_it_says_so(text):
    assert units.pressure(text) == pytest.approx(344.737865, abs=1e-6)  # 50 x 6.8947573


@pytest.mark.parametrize(
    ("value", "default", "mm"),
    [
        (30.2, "mm", 30.2),
        (3, "cm", 30.0),
        (2, "in", 50.8),
        ("30.2", "mm", 30.2),
        ("1 1/8", "in", 28.575),
        ("2 cm", "in", 20.0),
        ("1½", "in", 38.1),
    ],
)
def test_a_bare_length_takes_the_unit_of_its_file(value, default, mm):
    assert units.length(value, default=default) == mm


@pytest.mark.parametrize("read", ALL)
@pytest.mark.parametrize("value", [25, 25.0, "25"])
def test_a_bare_number_is_refused_with_what_is_allowed(read, value):
    with pytest.raises(UnitError, match=r"25(\.0)?\"? has no unit") as caught:
        read(value)
    assert ", such as " in caught.value.allowed


@pytest.mark.parametrize("read", ALL[1:])
def test_only_a_length_takes_the_unit_of_its_file(read):
    with pytest.raises(UnitError, match="25 has no unit"):
        read(25, default="mm")


@pytest.mark.parametrize("read", ALL)
@pytest.mark.parametrize(
    ("value", "says"),
    [
        (True, "True is not an? "),
        (None, "None is not an? "),
        ([1], r"\[1\] is not an? "),
        (float("nan"), "not a number that a shop can use"),
        (float("inf"), "not a number that a shop can use"),
        pytest.param(10**400, "not a number that a shop can use", id="integer-past-floats"),
        pytest.param(
            10 ** (sys.get_int_max_str_digits() + 1), "thousands of digits", id="integer-past-print"
        ),
        ("", "nothing to read"),
        (" \t", "nothing to read"),
        ("nan", "does not start with a number"),
        ("inf mm", "does not start with a number"),
        ("mm", "does not start with a number"),
        ("x" * 100, "too long"),
        ("1,5 mm", "has a comma"),
    ],
)
def test_what_is_no_quantity_is_refused_by_every_reader(read, value, says):
    with pytest.raises(UnitError, match=says) as caught:
        read(value, default="mm")
    assert caught.value.allowed


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("1//8 in", "cannot be read as one number and one unit"),
        ("1/8/2 in", "cannot be read as one number and one unit"),
        ("1/2.5 in", "cannot be read as one number and one unit"),
        ("1.2.3 mm", "cannot be read as one number and one unit"),
        ("1 2 mm", "cannot be read as one number and one unit"),
        ("2² mm", "cannot be read as one number and one unit"),
        ("--2 mm", "does not start with a number"),
        ("1/0 in", "divides by nothing"),
        ("1 9/8 in", "a fraction that is not below one"),
        ("22 mmm", "the unit mmm, which is not known as a unit of length"),
        ("22 m m", "not known as a unit of length"),
        ("3'", "not known as a unit of length"),
        ("22 g", "the unit g, which is a unit of mass, and a length is asked for"),
        ("-22 mm", "is negative, and a length cannot be"),
        ("-1/8 in", "is negative, and a length cannot be"),
        ("1e400 mm", "too large a number to work with"),
        ("1e999999999 mm", "too large a number to work with"),
        ("1e-999999999 mm", "too small a number to work with"),
        ("1e7 mm", "far too large for a length"),
    ],
)
def test_what_is_no_length_is_refused_with_what_is_allowed(text, says):
    with pytest.raises(UnitError, match=says) as caught:
        units.length(text)
    assert "7/8 in" in caught.value.allowed


@pytest.mark.parametrize(
    ("read", "text", "says"),
    [
        (units.volume, "8 oz", "US fl oz, imp fl oz or weight oz"),
        (units.volume, "8 fl oz", "US fl oz, imp fl oz or weight oz"),
        (units.mass, "8 oz", "US fl oz, imp fl oz or weight oz"),
        (units.length, "8 ounces", "US fl oz, imp fl oz or weight oz"),
        (units.pressure, "50 psia", "absolute pressure; pressures are read as gauge"),
        (units.pressure, "1 bar abs", "absolute pressure; pressures are read as gauge"),
        (units.pressure, "0.3 mpa", "write MPa"),
        (units.pressure, "-1 bar", "negative"),
        (units.viscosity, "1 MPa s", "not known as a unit of viscosity"),
        (units.temperature, "-300 C", "below absolute zero"),
        (units.temperature, "-460 F", "below absolute zero"),
        (units.temperature, "20 °", "a unit of angle"),
        (units.temperature, "9000 C", "far too large"),
        (units.density, "680 g/ml", "far too large for a density"),
        (units.time, "5 m", "a unit of length, and a time is asked for"),
        (units.force, "5 lb", "a unit of mass, and a force is asked for"),
    ],
)
def test_what_could_mean_two_things_is_refused(read, text, says):
    with pytest.raises(UnitError, match=says):
        read(text)


@pytest.mark.parametrize(
    ("mm", "text", "residual"),
    [
        (30.1625, "1 3/16 in", 0.0),
        (22.2, "7/8 in", -0.025),
        (25.4, "1 in", 0.0),
        (0.0, "0 in", 0.0),
        (0.1, "0 in", 0.1),
        (-3.2, "-1/8 in", -0.025),
        (69.85, "2 3/4 in", 0.0),
        (0.396875, "1/64 in", 0.0),
    ],
)
def test_inches_to_a_sixty_fourth_with_what_is_left(mm, text, residual):
    shown = units.in_inches(mm)
    assert (shown.text, units.format_length(mm, inches=True)) == (text, text)
    assert shown.residual_mm == pytest.approx(residual, abs=1e-12)


@pytest.mark.parametrize("parts", range(0, 64 * 3, 7))
def test_what_is_shown_in_inches_is_read_back_as_the_same_length(parts):
    mm = parts * 25.4 / 64
    assert units.length(units.format_length(mm, inches=True)) == pytest.approx(mm, abs=1e-12)


@pytest.mark.parametrize(
    ("mm", "text"), [(30.0, "30 mm"), (30.1625, "30.16 mm"), (0.3, "0.3 mm"), (-0.001, "0 mm")]
)
def test_millimetres_to_a_hundredth(mm, text):
    assert units.format_length(mm, inches=False) == text


@pytest.mark.parametrize("inches", [True, False])
def test_what_is_not_finite_is_not_shown(inches):
    with pytest.raises(UnitError, match="nan is not a length"):
        units.format_length(float("nan"), inches=inches)


def test_the_way_out_is_the_way_in_backwards():
    assert units.psi(units.pressure("50 psi")) == pytest.approx(50.0, rel=1e-15)
    assert units.bar(units.pressure("3.4 bar")) == pytest.approx(3.4, rel=1e-15)
    assert units.us_fl_oz(units.volume("8 US fl oz")) == pytest.approx(8.0, rel=1e-15)
    assert units.imperial_fl_oz(units.volume("8 imp fl oz")) == pytest.approx(8.0, rel=1e-15)
    assert units.fahrenheit(units.temperature("77 F")) == 77.0
