"""Constant weight or not: the rule, exact exponentials recovered, bands that hold, bad lines."""

import datetime as dt
import math
import random

import pytest

from mouldgen.errors import InputError, UnitError
from mouldgen.shop.drying import PieceDrying, drying, least_hours, limit_g
from mouldgen.shop.drying_fit import ready
from mouldgen.shop.drying_log import Weighing, log_line, read_log, read_mass, read_when

START = dt.datetime.fromisoformat("2026-11-20 06:00")


def log_of(*weighings: tuple[float, float], places: int = 1) -> str:
    """A log of one piece: hours after the start, grams."""
    lines = [
        f"A1,{START + dt.timedelta(hours=hour):%Y-%m-%d %H:%M},{mass:.{places}f} g"
        for hour, mass in weighings
    ]
    return "\n".join(["piece,when,weight", *lines])


def piece_of(*weighings: tuple[float, float], places: int = 1, **more: float) -> PieceDrying:
    (found,) = drying(read_log(log_of(*weighings, places=places), name="log"), **more)
    return found


@pytest.mark.parametrize(
    ("weighings", "state"),
    [
        ([(0, 400.2), (3, 400.0)], "constant"),  # twice the digit in three hours
        ([(0, 400.3), (3, 400.0)], "losing"),
        ([(0, 400.2), (2.9, 400.0)], "too soon"),
        ([(0, 400.3), (2.9, 400.0)], "losing"),  # what was lost in less is lost
        ([(0, 400.0)], "too soon"),
        ([(0, 400.0), (3, 400.2)], "constant"),
        ([(0, 400.0), (3, 400.3)], "gained"),
        ([(0, 400.4), (1, 400.2), (4, 400.0)], "constant"),  # against the weighing at 1 h
        ([(0, 400.4), (2, 400.1), (4, 400.0)], "losing"),  # against that at 0 h: 2 h are too few
        ([(0, 100.2), (3, 100.0)], "losing"),  # more than a thousandth
        ([(0, 100.1), (3, 100.0)], "constant"),
    ],
)
def test_what_is_constant(weighings: list[tuple[float, float]], state: str) -> None:
    # ASTM D4442 from memory: within three hours no more than twice the scale's digit.
    assert piece_of(*weighings).state == state


def test_the_stricter_of_two_limits_binds() -> None:
    assert limit_g(400.0, scale_g=0.1) == pytest.approx(0.2)
    assert limit_g(5000.0, scale_g=1.0) == pytest.approx(2.0)
    assert limit_g(30.0, scale_g=1.0) == pytest.approx(0.03)


def test_the_scale_is_what_the_log_was_written_to_unless_it_is_told() -> None:
    assert piece_of((0, 400.25), (3, 400.2), places=2).scale_g == 0.01
    assert piece_of((0, 400), (3, 400), places=0).scale_g == 1.0
    told = piece_of((0, 400), (3, 398), places=0, scale_g=5.0)
    assert (told.scale_g, told.state, told.too_coarse) == (5.0, "losing", True)
    assert not piece_of((0, 400.2), (3, 400.2)).too_coarse


def test_moisture_is_a_share_of_the_lightest_weight() -> None:
    found = piece_of((0, 448.0), (24, 400.0), (48, 404.0))

    assert found.moisture_first == pytest.approx(0.12)
    assert found.moisture_last == pytest.approx(0.01)
    assert [(a.mass_g, b.mass_g) for a, b in found.gains] == [(400.0, 404.0)]
    assert found.rate_g_h == pytest.approx(-4.0 / 24.0)


@pytest.mark.parametrize("rate", [0.05, 0.15, 0.6])
@pytest.mark.parametrize("hours", [(0, 3, 6), (0, 2, 5, 9), (1, 4, 8, 14, 15, 20)])
def test_an_exact_exponential_is_recovered(rate: float, hours: tuple[float, ...]) -> None:
    lost, end, most = 60.0, 350.0, 1e-3
    grams = [end + lost * math.exp(-rate * hour) for hour in hours]

    found = ready(hours, grams, digit_g=1e-7, limit_g=most, over_h=3.0)
    # By hand: lost exp(-k t)(exp(3 k) - 1) = most at the end t of the three hours.
    at = math.log(lost * math.expm1(3.0 * rate) / most) / rate

    if at > hours[-1] + 10.0 * (hours[-1] - hours[0]):
        assert found is None  # farther ahead than anything can be said of
        return
    assert found.likely_h == pytest.approx(at, rel=1e-5)
    assert found.earliest_h <= at <= found.latest_h
    assert found.latest_h - found.earliest_h < 1e-3 * at


def test_bands_hold_the_truth_nineteen_times_in_twenty() -> None:
    # Readings with normal errors of half a digit, the error that a reading is taken to have.
    draw, held, told = random.Random(20261120), 0, 0
    for _ in range(100):
        rate, lost = draw.uniform(0.08, 0.3), draw.uniform(20.0, 80.0)
        hours = [0.0, 3.0, 6.0, 10.0, 15.0]
        grams = [350.0 + lost * math.exp(-rate * h) + draw.gauss(0.0, 0.05) for h in hours]
        found = ready(hours, grams, digit_g=0.1, limit_g=0.2, over_h=3.0)
        if found is not None:
            at = max(15.0, math.log(lost * math.expm1(3.0 * rate) / 0.2) / rate)
            told += 1
            held += found.earliest_h <= at <= found.latest_h
    assert told > 75
    assert held / told > 0.92


def test_a_finer_scale_gives_a_narrower_band() -> None:
    hours = (0.0, 3.0, 6.0, 10.0, 14.0)
    bands = [
        ready(hours, [350.0 + 60.0 * math.exp(-0.15 * h) for h in hours],
              digit_g=digit, limit_g=0.35, over_h=3.0)
        for digit in (0.01, 0.1, 1.0)
    ]  # fmt: skip
    widths = [band.latest_h - band.earliest_h for band in bands]
    assert widths == sorted(widths)
    assert widths[-1] > 10.0 * widths[0]


@pytest.mark.parametrize(
    ("hours", "grams"),
    [
        ((0, 3), (400.0, 390.0)),  # two weighings
        ((0, 3, 6), (400.0, 390.0, 380.0)),  # straight
        ((0, 3, 6), (400.0, 395.0, 380.0)),  # ever faster
        ((0, 3, 6), (380.0, 390.0, 395.0)),  # it gains
        ((0, 3, 6), (400.0, 399.8, 399.7)),  # less than the scale can tell apart
    ],
)
def test_nothing_is_said_where_the_readings_do_not_bend(hours, grams) -> None:
    assert ready(hours, grams, digit_g=0.1, limit_g=0.2, over_h=3.0) is None


def test_what_was_weighed_before_it_picked_up_water_does_not_count() -> None:
    dried = [(h, 350.0 + 60.0 * math.exp(-0.15 * h)) for h in (0, 3, 6, 9)]
    wet = [(-10, 360.0), *dried]

    assert piece_of(*dried).ready is not None
    assert vars(piece_of(*wet).ready) == vars(piece_of(*dried).ready)
    assert piece_of(*dried).again == piece_of(*dried).ready.likely
    assert piece_of((0, 400.0)).again == START + dt.timedelta(hours=3)


def at(when: str) -> Weighing:
    told, timed = read_when(when)
    return Weighing("A1", told, timed, 400.0, 0.1, 1)


@pytest.mark.parametrize(
    ("before", "after", "hours"),
    [
        ("2026-11-20 18:30", "2026-11-20 23:45", 5.25),
        ("2026-11-20", "2026-11-21", 24.0),
        ("2026-11-20", "2026-11-21 5:00", 5.0),  # it may have been just before midnight
        ("2026-11-20 18:30", "2026-11-21", 5.5),
        ("2026-11-20 18:30:30", "2026-11-20T18:31", 30 / 3600),
    ],
)
def test_hours_that_surely_passed(before: str, after: str, hours: float) -> None:
    assert least_hours(at(before), at(after)) == pytest.approx(hours)


def test_a_log_as_a_maker_keeps_it() -> None:
    text = (
        "\ufeffPiece, When, Weight\r\n# oven on\r\n\r\n"
        'root 3, 2026-11-21 ,1 lb\r\nA1,2026-11-20 18:30,412.3\r\n"A1",2026-11-20 7:05,420 g'
    )
    found = read_log(text, name="log")

    assert list(found) == ["root 3", "A1"]
    assert found["root 3"][0].mass_g == pytest.approx(453.59237)  # NIST SP 811, exact
    assert found["root 3"][0].digit_g is None
    assert [(w.mass_g, w.digit_g, w.line) for w in found["A1"]] == [
        (420.0, 1.0, 6),
        (412.3, 0.1, 5),
    ]
    assert read_log("A1,2026-11-20 18:30,412.3 g", name="log")["A1"][0].line == 1


@pytest.mark.parametrize(
    ("line", "match"),
    [
        ("A1,2026-11-20", r"log, line 3: the line has 2 fields and not 3"),
        ("A1;2026-11-20;412", "line 3: the line has 1 field and not 3.*Put commas between"),
        ("A1,2026-11-20,412,3 g", "line 3: .*4 fields.*Decimals have a point, never a comma"),
        ("A1,2026-02-30,412 g", 'line 3: "2026-02-30" is neither a day nor a time'),
        ("A1,2026-11-20 25:00,412 g", "line 3: .*neither a day nor a time"),
        ("A1,20.11.2026,412 g", "line 3: .*neither a day nor a time"),
        ("A1,2026-11-20 9:00,12 oz", "line 3: .*unit oz, which is a volume in two sizes"),
        ("A1,2026-11-20 9:00,0 g", 'line 3: "0 g" is no weight'),
        ("A1,2026-11-20 9:00,", "line 3: there is nothing to read"),
        (f"{'A' * 200_000},2026-11-20 9:00,1", "line 3: field larger than field limit"),
        (",2026-11-20 9:00,412 g", "line 3: the piece has no name"),
        ("A1,2026-11-19 9:00,411 g", "line 3: A1 is weighed twice at one time, which line 2"),
        ("A1,2026-11-19,411 g", "line 3: A1 is weighed twice on one day, and not both have"),
    ],
)
def test_a_bad_line_is_named_by_its_number(line: str, match: str) -> None:
    with pytest.raises(InputError, match=match):
        read_log(f"piece,when,weight\nA1,2026-11-19 9:00,412 g\n{line}\n", name="log")


def test_lines_are_read_as_they_are_written() -> None:
    line = log_line('a, "b"', "2026-11-20 18:30", "412.3")
    (weighing,) = read_log(line, name="log")['a, "b"']

    assert line == '"a, ""b""",2026-11-20 18:30,412.3 g'
    assert (weighing.mass_g, weighing.digit_g) == (412.3, 0.1)
    with pytest.raises(UnitError, match="is neither a day nor a time"):
        read_when("noon")
    assert read_mass("14.5 weight oz")[1] is None
