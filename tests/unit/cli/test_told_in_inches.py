"""What a maker who writes inches is told: inches beside mm, degF beside degC, own words as own."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from mouldgen.cli.heat_words import degrees
from mouldgen.errors import JobError, NoAnswerError, UnitError
from mouldgen.job.habit import habit_of
from mouldgen.physics.bands import Band
from mouldgen.physics.constants import ZERO_CELSIUS
from mouldgen.units import fahrenheit
from tests.cli_runs import mouldgen

INCHES = ("--set", "unit=in")
ROD = ("--set", "insert.shape=rod", "--set", "insert.measured=[]")
HOLED = (*ROD, "--set", "insert.diameter=1.125 in")


# ----------------------------------------------------------------------------------- refusals


def test_a_refusal_quotes_what_was_written_and_tells_the_limit_in_inches() -> None:
    """1.125 in less 0.5 mm a side and a little are 27.5 mm, and 1.082 in are no more."""
    told = mouldgen("gap", "locker-pegs", *INCHES, *HOLED, "--set", "insert.hole=1.09 in")
    assert told.code == 2
    assert "a hole of 27.69 mm (1.09 in) leaves less than 0.5 mm (0.020 in) beside it" in told.err
    assert "Allowed: at most 27.5 mm (1.082 in)." in told.err
    taken = mouldgen("gap", "locker-pegs", *INCHES, *HOLED, "--set", "insert.hole=1.082 in")
    assert "beside it" not in taken.err


@pytest.mark.parametrize("written", ["1.09", "1.09 in", '1.09"', " 1.09 inches"])
def test_it_is_quoted_with_the_unit_that_the_file_gives(written: str) -> None:
    told = mouldgen("gap", "locker-pegs", *INCHES, *HOLED, "--set", f"insert.hole={written}")
    own = f"{written} in" if written == "1.09" else written.strip()
    assert f"a hole of 27.69 mm ({own}) leaves" in told.err


def test_a_job_in_mm_is_told_inches_only_where_it_wrote_them() -> None:
    told = mouldgen("gap", "locker-pegs", *HOLED, "--set", "insert.hole=1.09 in").err
    assert "27.69 mm (1.09 in) leaves less than 0.5 mm beside it" in told
    assert "at most 27.5 mm." in told
    plain = mouldgen("gap", "locker-pegs", *ROD, "--set", "insert.diameter=20 mm",
                     "--set", "insert.hole=19.6 mm").err  # fmt: skip
    assert "19.6 mm leaves" in plain
    assert " in)" not in plain


def test_what_is_too_large_for_a_pot_is_told_in_inches() -> None:
    told = mouldgen("pot", "drawer-knobs", *INCHES, "--set", "pot.diameter=2")
    assert told.code == 1
    assert re.search(r"is 47\.6 mm \(1\.874 in\) across and the pot leaves \d", told.err)
    assert re.search(r"Allowed: a mould of [\d.]+ mm \([\d.]+ in\) or less", told.err)


def test_an_example_to_be_typed_is_left_as_it_is() -> None:
    told = mouldgen("gap", "drawer-knobs", *INCHES, "--set", "insert.diameter=22 foo").err
    assert "such as 22 mm, 7/8 in" in told
    key = mouldgen("gap", "locker-pegs", *INCHES, "--set", "pot.diameter=4").err
    assert 'such as height = "30 mm"' in key


@pytest.mark.parametrize("kind", [JobError, UnitError, NoAnswerError])
def test_an_error_in_other_words_is_the_same_error(
    kind: type[JobError | UnitError | NoAnswerError],
) -> None:
    first = kind("too long", where="pegs.toml [a] long", allowed="at most long", try_="not long")
    other = first.retold(lambda text: text.replace("long", "wide"))
    assert type(other) is kind
    assert other.where == "pegs.toml [a] long"
    assert (other.what, other.allowed, other.try_) == ("too wide", "at most wide", "not wide")
    assert other.exit_code == first.exit_code


def test_the_habit_is_read_off_shop_file_job_and_settings(tmp_path: Path) -> None:
    (tmp_path / "shop.toml").write_text('unit = "in"\n[printer]\nwidth = 8.5\n')
    job = tmp_path / "a.toml"
    job.write_text(
        'format = 1\nname = "a"\n[insert]\ndiameter = "7/8"\nlength = "60 mm"\n'
        'wood = "white ash"\nmeasured = [0.88, "22.3 mm"]\n[pour]\nmix = "6 min"\n'
    )
    found = habit_of(job, sets=('piece.length=1-1/2"',))
    assert found.inches
    assert {round(mm, 4): text for mm, text in found.written.items()} == {
        215.9: "8.5 in", 22.225: "7/8 in", 22.352: "0.88 in", 38.1: '1-1/2"',
    }  # fmt: skip
    assert not habit_of(job, sets=("unit=mm",)).inches
    assert not habit_of(tmp_path / "no-such.toml").written


# -------------------------------------------------------------------------------------- rules


def test_a_conflict_its_remedies_and_the_table_are_told_in_both() -> None:
    told = mouldgen("gap", "drawer-knobs", *INCHES, "--set", "mould.gap=auto").words
    assert re.search(r"above 4\.\d\d mm \(0\.1\d\d in\) the wall may pass 88 degC", told)
    assert "88 degC (190.4 degF), 10 C degrees (18 F degrees) below where the plastic" in told
    plain = mouldgen("gap", "drawer-knobs", "--set", "mould.gap=auto").words
    assert "degF" not in plain
    assert " in)" not in plain


def test_a_bed_is_told_in_both() -> None:
    """220 mm / 25.4 are 8.661 in; the sides share their unit."""
    told = mouldgen("beds", "boathouse-pegs", *INCHES).words
    assert "each a bed of 220 x 220 mm (8.661 x 8.661 in). Parts keep off" in told


def test_what_must_be_fixed_stands_in_both_on_a_card() -> None:
    wide = mouldgen("potcard", "drawer-knobs", *INCHES, "--set", "pot.diameter=2 in").words
    clause = re.findall(r"NOT READY: (.*?) =====", wide)[0]  # on every load's card
    lengths = re.findall(r"[\d.]+ mm(?! x)", clause)
    assert lengths
    assert len(re.findall(r" mm \([^)]* in\)", clause)) == len(lengths)


# --------------------------------------------------------------------------------------- heat


@pytest.fixture(scope="module")
def heat(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    """The heat of the demo for a reader of inches: the words, and the picture."""
    out = tmp_path_factory.mktemp("heat")
    told = mouldgen("heat", "boathouse-pegs", *INCHES, "--verbose", "--pictures", "--out", str(out))
    return told.out, (out / "boathouse-pegs/plots/heat.svg").read_text()


def test_every_temperature_of_the_heat_has_fahrenheit_beside_it(heat: tuple[str, str]) -> None:
    words = " ".join(heat[0].split())
    sums = re.findall(r"(\d+)(?: to (\d+))? degC \((\d+(?:\.\d)?)(?: to (\d+))? degF\)", words)
    assert len(sums) == words.count("degC") >= 10
    for low, high, low_f, high_f in sums:
        if high:
            assert float(low_f) <= fahrenheit(float(low)) < float(low_f) + 1.0
            assert float(high_f) - 1.0 < fahrenheit(float(high)) <= float(high_f)
        else:
            assert float(low_f) == pytest.approx(fahrenheit(float(low)), abs=0.051)
    assert "PETG softens at 76 degC (168.8 degF)." in words
    assert max(map(len, heat[0].splitlines())) <= 80


def test_words_table_and_plot_tell_the_same_fahrenheit(heat: tuple[str, str]) -> None:
    words = " ".join(heat[0].split())
    (cup,) = re.findall(r"in one cup would reach \d+ to \d+ degC \((\d+ to \d+) degF\)", words)
    (mould,) = re.findall(r"its peak is \d+ to \d+ degC \((\d+ to \d+) degF\)", words)
    plotted = dict(re.findall(r"^(cup|resin) .* (\d+ to \d+) degF$", heat[0], re.MULTILINE))
    assert plotted == {"cup": cup, "resin": mould}
    assert "| PETG softens at 168.8 degF" in heat[0].replace("│", "|")
    assert re.search(r"\d degF$", heat[0], re.MULTILINE), "the axis"


def test_the_picture_has_an_axis_in_fahrenheit(heat: tuple[str, str]) -> None:
    texts = [t.text or "" for t in ET.fromstring(heat[1]).iter("{http://www.w3.org/2000/svg}text")]
    assert "°F" in texts
    assert "°C" not in texts
    assert "PETG softens 76 °C (168.8 °F)" in texts


def test_a_band_is_told_in_fahrenheit_from_its_whole_degrees() -> None:
    band = Band(24.3 + ZERO_CELSIUS, 27.0 + ZERO_CELSIUS, 31.2 + ZERO_CELSIUS)
    # 24 C are 75.2 F and 32 C are 89.6.
    assert degrees(band, shown=fahrenheit) == "75 to 90"
