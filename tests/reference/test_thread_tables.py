"""Threads against printed tables: minor diameters, tap drills, stress areas, and two wrong rules.

UNC: ASME B1.1, class 2B, as printed in drill charts.  Metric: ISO 965-1, class 6H, and ISO 261.
"""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal

import pytest

from mouldgen.errors import InputError
from mouldgen.job.threads import thread_of
from mouldgen.physics.threads import (
    INCH,
    inch_minor_limits,
    inch_stress_area,
    metric_minor_limits,
    metric_stress_area,
    minor_diameter,
    percent_of_thread,
    pitch_diameter,
    strip_length,
    tap_drill,
)

MM = 1e-3

# minor diameter least and most [in], tap drill [in] and [mm], percent of thread, stress area [in2]
UNC = {
    "8-32": (".130", ".139", 0.1360, 3.454, 69.0, 0.0140),
    "10-24": (".145", ".156", 0.1495, 3.797, 74.8, 0.0175),
    "1/4-20": (".196", ".207", 0.2010, 5.105, 75.4, 0.0318),
    "5/16-18": (".252", ".265", 0.2570, 6.528, 76.9, 0.0524),
    "3/8-16": (".307", ".321", 0.3125, 7.938, 77.0, 0.0775),
}
# pitch, minor diameter least and most, pitch diameter, tap drill [mm], percent of thread
METRIC = {
    "M4": (0.7, 3.242, 3.422, 3.545, 3.3, 77.0),
    "M5": (0.8, 4.134, 4.334, 4.480, 4.2, 77.0),
    "M6": (1.0, 4.917, 5.153, 5.350, 5.0, 77.0),
    "M8": (1.25, 6.647, 6.912, 7.188, 6.8, 73.9),
    "M10": (1.5, 8.376, 8.676, 9.026, 8.5, 77.0),
    # least minor and pitch diameter: a tap maker's catalogue, "M10 x 1.25 10.000 9.188 8.647"
    "M10x1.25": (1.25, 8.647, 8.912, 9.188, 8.8, 73.9),
}


def size(name: str) -> tuple[float, float, float]:
    """Major diameter, pitch and drill of a card [m]."""
    thread = thread_of(name)
    return thread.major_mm * MM, thread.pitch_mm * MM, thread.drill_mm * MM


def as_printed(metres: float) -> Decimal:
    """Inches to four places and then, as the table prints minor diameters, to three."""
    four = Decimal(metres / INCH).quantize(Decimal("0.0001"), ROUND_HALF_UP)
    return four.quantize(Decimal("0.001"), ROUND_HALF_UP)


@pytest.mark.parametrize("name", UNC)
def test_minor_diameters_of_class_2b(name: str) -> None:
    major, pitch, _ = size(name)
    least, most = inch_minor_limits(major, pitch)

    assert (as_printed(least), as_printed(most)) == (Decimal(UNC[name][0]), Decimal(UNC[name][1]))


@pytest.mark.parametrize(
    ("number", "turns", "least", "most"), [(0, 80, 0.0465, 0.0514), (1, 72, 0.0580, 0.0635)]
)
def test_the_smallest_threads_have_the_tolerance_that_is_capped(
    number: int, turns: int, least: float, most: float
) -> None:
    """Nos. 0-80 and 1-72 UNF, class 2B [in]: limits from memory of ASME B1.1, the cap 0.394 p."""
    found = inch_minor_limits((0.060 + 0.013 * number) * INCH, INCH / turns)
    # The table rounds the tolerance before it adds it.
    assert [limit / INCH for limit in found] == pytest.approx([least, most], abs=1e-4)


@pytest.mark.parametrize("name", UNC)
def test_tap_drills_and_areas_of_inch_threads(name: str) -> None:
    major, pitch, drill = size(name)
    _, _, inches, mm, percent, area = UNC[name]

    assert drill / INCH == pytest.approx(inches, abs=1e-9)
    assert drill / MM == pytest.approx(mm, abs=0.0005)
    assert percent_of_thread(major, pitch, drill=drill) == pytest.approx(percent, abs=0.05)
    assert inch_stress_area(major, pitch) / INCH**2 == pytest.approx(area, abs=0.00005)


@pytest.mark.parametrize("name", METRIC)
def test_metric_threads_of_class_6h(name: str) -> None:
    major, pitch, drill = size(name)
    step, least, most, effective, hole, percent = METRIC[name]
    found = metric_minor_limits(major, pitch)

    assert pitch / MM == pytest.approx(step, abs=1e-12)
    assert found[0] / MM == pytest.approx(least, abs=0.0005)
    assert found[1] / MM == pytest.approx(most, abs=0.0005)
    assert pitch_diameter(major, pitch) / MM == pytest.approx(effective, abs=0.0006)
    assert drill / MM == pytest.approx(hole, abs=1e-12)
    assert percent_of_thread(major, pitch, drill=drill) == pytest.approx(percent, abs=0.05)


def test_every_tap_drill_lies_within_the_limits_of_its_minor_diameter() -> None:
    for name in ("8-32", "10-24", "1/4-20", "1/4-27", "5/16-18", "3/8-16"):
        major, pitch, drill = size(name)
        least, most = inch_minor_limits(major, pitch)
        assert least - 1e-6 <= drill <= most, name
    for name in METRIC:
        major, pitch, drill = size(name)
        least, most = metric_minor_limits(major, pitch)
        assert least <= drill <= most, name


@pytest.mark.parametrize(
    ("d", "pitch", "area"),
    [(4, 0.7, 8.78), (5, 0.8, 14.2), (6, 1.0, 20.1), (8, 1.25, 36.6), (10, 1.5, 58.0)],
)
def test_stress_areas_of_metric_bolts(d: float, pitch: float, area: float) -> None:
    # ISO 898-1, from memory: to three figures.
    found = metric_stress_area(d * MM, pitch * MM) / MM**2

    assert found == pytest.approx(area, rel=0.004)


def test_drills_for_three_quarters_of_a_thread() -> None:
    # The formula of every drill chart: D - 0.01299 %/TPI, and D - % P/76.98.
    assert tap_drill(0.25 * INCH, INCH / 20, percent=75) / INCH == pytest.approx(0.2013, abs=5e-5)
    assert tap_drill(6 * MM, 1 * MM, percent=75) / MM == pytest.approx(5.026, abs=5e-4)
    assert 100 * tap_drill(1.0, 0.01, percent=100) == pytest.approx(100 - 1.299038, abs=1e-6)


@pytest.mark.parametrize("name", [*UNC, *METRIC, "1/4-27"])
def test_drill_and_percent_are_inverses(name: str) -> None:
    major, pitch, drill = size(name)
    percent = percent_of_thread(major, pitch, drill=drill)

    assert tap_drill(major, pitch, percent=percent) == pytest.approx(drill, rel=1e-12)


def test_the_rule_without_the_thread_form_is_not_ours() -> None:
    """Several calculators take D - P x percent: their 75 % of M6 is 57.7 %."""
    wrong = (6 - 0.75 * 1) * MM

    assert percent_of_thread(6 * MM, 1 * MM, drill=wrong) == pytest.approx(57.7, abs=0.05)


def test_counting_in_the_height_of_the_internal_thread_is_not_ours() -> None:
    """Others count in 5H/8: their 100 % is 83.3 % here, the least minor diameter exactly."""
    least = minor_diameter(6 * MM, 1 * MM)

    assert percent_of_thread(6 * MM, 1 * MM, drill=least) == pytest.approx(83.333, abs=5e-4)


def test_a_pitch_of_one_millimetre_has_the_tolerance_of_the_standard() -> None:
    """The formula gives 230 um, midway between 224 and 236; ISO 965-1 has 236."""
    assert 230 * 1.0**0.7 == 230.0
    least, most = metric_minor_limits(9 * MM, 1 * MM)  # M9 x 1, printed: 7.917 to 8.153
    assert (most - least) / MM == pytest.approx(0.236, abs=1e-12)
    assert most / MM == pytest.approx(8.153, abs=0.0005)


def test_a_pitch_that_is_not_in_the_table_is_refused() -> None:
    with pytest.raises(InputError, match=r"pitch of 1\.75 mm.*0\.7 mm, 0\.8 mm, 1 mm, 1\.25 mm"):
        metric_minor_limits(12 * MM, 1.75 * MM)


def test_depth_at_which_bolt_and_thread_give_way_together() -> None:
    # 1/4-20 of classes 2A and 2B: area 0.0318 in2, Kn 0.2070 in, Es 0.2127 in give 0.173 in;
    # formula of FED-STD-H28 from memory, worked by hand.
    found = strip_length(
        0.0318 * INCH**2, INCH / 20, minor_most=0.2070 * INCH, pitch_least=0.2127 * INCH
    )

    assert found / INCH == pytest.approx(0.173, abs=5e-4)


def test_a_short_thread_strips_by_hand() -> None:
    # With bolt and nut threads that meet at the pitch line Es = Kn half the length shears.
    area, minor = 20.1e-6, 5.0e-3
    found = strip_length(area, 1e-3, minor_most=minor, pitch_least=minor)

    assert found == pytest.approx(4.0 * area / (math.pi * minor), rel=1e-12)
