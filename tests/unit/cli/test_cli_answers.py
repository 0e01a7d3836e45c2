"""Answers as people type them."""

from __future__ import annotations

import datetime as dt

import pytest

from mouldgen.desk.answers import (
    read_choice,
    read_readings,
    read_size,
    read_tints,
    read_title,
    read_wanted,
    read_wood,
)
from mouldgen.desk.insert_readers import read_flute
from mouldgen.errors import InputError, UnitError, UsageError

TWO = ("diameter", "length")
THREE = ("width", "thickness", "length")


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("coat-pegs", "coat-pegs"),
        ("Coat pegs, for the boathouse!", "coat-pegs-for-the-boathouse"),
        ("  22 knobs ", "22-knobs"),
    ],
)
def test_a_title_becomes_a_name(text: str, name: str) -> None:
    assert read_title(text).name == name


@pytest.mark.parametrize("text", ["!!!", "con", "COM1", "x" * 49, "日本"])
def test_what_cannot_be_a_name(text: str) -> None:
    with pytest.raises(UsageError, match=r"cannot be the name of a job.*small letters, digits"):
        read_title(text)


@pytest.mark.parametrize("text", ["0", "-3", "4.5", "many", "10001", "9" * 5000, "٣x"])
def test_what_is_no_number_of_pieces(text: str) -> None:
    with pytest.raises(UsageError, match="a whole number, 1 to 10000"):
        read_wanted(text)


def test_pieces_and_dates() -> None:
    plain, dated = read_wanted("18"), read_wanted("18 by 2026-12-18")
    assert (plain.pieces, plain.due) == (18, None)
    assert (dated.pieces, dated.due) == (18, dt.date(2026, 12, 18))
    for text in ("18 by 18 Dec 2026", "18 pieces by December 18, 2026", "18, 18. December 2026"):
        assert read_wanted(text).due == dt.date(2026, 12, 18)
    with pytest.raises(UsageError, match=r'"18 December" is not a date. Allowed: year-month-day'):
        read_wanted("18 by 18 December")


@pytest.mark.parametrize(
    ("text", "sides", "mm", "texts"),
    [
        ("30 mm x 70 mm", TWO, [30, 70], ["30 mm", "70 mm"]),
        ("30x70mm", TWO, [30, 70], ["30 mm", "70mm"]),
        ("30 mm × 70", TWO, [30, 70], ["30 mm", "70 mm"]),
        ("30 by 70 mm", TWO, [30, 70], ["30 mm", "70 mm"]),
        ("3 cm * 70 mm", TWO, [30, 70], ["3 cm", "70 mm"]),
        # 1 3/16 in is 30.1625 mm and 2 3/4 in is 69.85 mm: 25.4 mm to the inch, exactly.
        ("1 3/16 x 2 3/4 in", TWO, [30.1625, 69.85], ["1 3/16 in", "2 3/4 in"]),
        ('1-3/16" x 2-3/4"', TWO, [30.1625, 69.85], ['1-3/16"', '2-3/4"']),
        ("20 x 10 x 60 mm", THREE, [20, 10, 60], ["20 mm", "10 mm", "60 mm"]),
    ],
)
def test_sizes(text: str, sides: tuple[str, ...], mm: list[float], texts: list[str]) -> None:
    read = read_size(text, sides=sides)

    assert [measure.mm for measure in read] == pytest.approx(mm, abs=1e-12)
    assert [measure.text for measure in read] == texts


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("30 mm", "is not diameter x length. Allowed: 2 lengths with an x between"),
        ("30 x 20 x 70 mm", "is not diameter x length"),
        ("30 x 70", '"30" has no unit'),
        ("3 cm x 70 mm x", "is not diameter x length"),
        ("3 x 1 cm x 70 mm", "is not diameter x length"),
        ("0 mm x 70 mm", '"0 mm" is nothing. Allowed: more than 0 mm'),
        ("-3 mm x 70 mm", "is negative"),
        ("30 mmm x 70 mm", "the unit mmm"),
        ("30,5 mm x 70 mm", "has a comma"),
    ],
)
def test_sizes_that_cannot_be_read(text: str, says: str) -> None:
    with pytest.raises(InputError) as refused:
        read_size(text, sides=TWO)

    assert says in str(refused.value)


def test_two_units_leave_a_bare_number_bare() -> None:
    with pytest.raises(UnitError, match='"5" has no unit'):
        read_size("2 cm x 5 x 60 mm", sides=THREE)


@pytest.mark.parametrize(
    ("text", "mm", "flutes"),
    [
        ("30 x 70 mm", [30, 70], 6),
        ("30 x 70 mm, 8 flutes", [30, 70], 8),
        ("30 mm x 70 mm with 12 flutes", [30, 70], 12),
        ("30 x 70 mm; 5 Flutes", [30, 70], 5),
    ],
)
def test_fluted_sticks(text: str, mm: list[float], flutes: int) -> None:
    read = read_flute(text)

    assert [length.mm for length in read.lengths] == mm
    assert read.values["flutes"] == flutes


def test_flutes_that_no_stick_has() -> None:
    with pytest.raises(UsageError, match=r"cannot have 99 flutes. Allowed: 2 to 24 flutes"):
        read_flute("30 x 70 mm, 99 flutes")


@pytest.mark.parametrize(
    "text",
    [
        "29.8, 30.1, 30.0 mm",
        "29.8 mm, 30.1 mm, 30.0 mm",
        "29.8mm; 30.1mm; 30.0mm",
        "29.8,30.1,30.0 mm",
        "29.8 30.1 30.0 mm",
        "2.98 cm, 30.1 mm, 30.0 mm",
    ],
)
def test_readings(text: str) -> None:
    read = read_readings(text, nominal_mm=30.0)

    assert [reading.mm for reading in read] == pytest.approx([29.8, 30.1, 30.0], abs=1e-12)


def test_readings_in_fractions_of_an_inch() -> None:
    read = read_readings("1 3/16, 1 5/32, 1 3/16 in", nominal_mm=30.0)

    assert [reading.text for reading in read] == ["1 3/16 in", "1 5/32 in", "1 3/16 in"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("29,8 mm", '"29,8 mm" has a comma'),
        ("29,30 mm", '"29,30 mm" has a comma'),  # both would be near enough
        ("29,8; 30,1 mm", "Write decimals with a point"),
        ("29.8, 3.01, 30.0 mm", "3.01 mm is more than a fifth off the 30 mm you gave"),
        ("29.8, 30.1", '"29.8" has no unit'),
        ("29.8 thirty 30.0 mm", "the unit thirty 30.0 mm"),
        (",", "holds no reading"),
    ],
)
def test_readings_that_cannot_be_meant(text: str, says: str) -> None:
    with pytest.raises(InputError) as refused:
        read_readings(text, nominal_mm=30.0)

    assert says in str(refused.value)


@pytest.mark.parametrize("text", ["2", "slow-epoxy", "Slow Epoxy", "slow epoxy"])
def test_a_choice_by_number_or_name(text: str) -> None:
    assert read_choice(text, names=("fast-epoxy", "slow-epoxy"), what="card") == "slow-epoxy"


@pytest.mark.parametrize("text", ["0", "3", "slow epoxi"])
def test_a_choice_that_is_not_there(text: str) -> None:
    with pytest.raises(UsageError, match=r'there is no card ".*a number from 1 to 2'):
        read_choice(text, names=("fast-epoxy", "slow-epoxy"), what="card")


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("White Ash", ("wood", "white ash")),
        ("1", ("wood", "white ash")),
        ("0.68 g/ml", ("density", "0.68 g/ml")),
        ("680 kg/m3", ("density", "680 kg/m3")),
    ],
)
def test_woods(text: str, read: tuple[str, str]) -> None:
    assert read_wood(text, names=("white-ash", "white-oak")) == read


@pytest.mark.parametrize(
    ("text", "says"),
    [("0 g/ml", "weighs nothing"), ("0.68", "no unit"), ("2", "no unit"), ("0", "no unit")],
)
def test_densities_that_cannot_be(text: str, says: str) -> None:
    with pytest.raises(InputError, match=says):
        read_wood(text, names=("white-ash",))


@pytest.mark.parametrize(
    ("text", "tints"),
    [
        ("smoke", [("smoke", 1.0)]),
        ("smoke 70, amber 30", [("smoke", 0.7), ("amber", 0.3)]),
        ("smoke 0.7; amber 0.3", [("smoke", 0.7), ("amber", 0.3)]),
        ("smoke 70 %, amber 30%", [("smoke", 0.7), ("amber", 0.3)]),
        ("smoke and amber", [("smoke", 0.5), ("amber", 0.5)]),
        ("deep sea blue", [("deep sea blue", 1.0)]),
    ],
)
def test_colours(text: str, tints: list[tuple[str, float]]) -> None:
    assert [(tint.name, tint.share) for tint in read_tints(text)] == tints


def test_shares_of_three_alike_make_one() -> None:
    assert sum(tint.share for tint in read_tints("a, b, c")) == pytest.approx(1.0, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("smoke 70, amber", "gives a share to some colours only"),
        ("smoke 70, amber 20", "the shares add up to 90"),
        ("smoke 100, amber 0", "shares above 0"),
        ("smoke 1.2.3", "some colours only"),
        ("70", "names no colour"),
        (",", "names no colour"),
        (":", "names no colour"),
        ("smoke, =", "names no colour"),
        ("smo\x07ke", "names no colour"),
    ],
)
def test_colours_that_cannot_be_read(text: str, says: str) -> None:
    with pytest.raises(UsageError, match=says):
        read_tints(text)
