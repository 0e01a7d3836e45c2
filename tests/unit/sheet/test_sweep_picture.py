"""The picture of a sweep: curves through its values, grounds where there is no gap, names."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET

import pytest

from mouldgen.finding import Bound
from mouldgen.sheet.chart import GREY
from mouldgen.sheet.sweep_picture import SweepPoint, sweep_svg

SVG = "{http://www.w3.org/2000/svg}"
LEFT, TOP, ROOM, HIGH = 16.0, 28.5, 140.0, 76.5  # of the plot on the page [mm]


def point(value: float, air: float | None, *, most: float = 9.0) -> SweepPoint:
    """A point whose air rule asks for so much, beside a slide of 0.5 mm."""
    bounds = (
        Bound("slide", "at_least", 0.5, "w", "s"),
        Bound("air", "at_least", air, "w", "s"),
        Bound("fits", "at_most", most, "w", "s"),
        Bound("habit", "advice", 1.5, "w", "s"),
    )
    gap = None if air is None else max(air, 0.5)
    return SweepPoint(value, gap, "" if air is None else ("air" if air > 0.5 else "slide"), bounds)


POINTS = (point(10, 0.2), point(12, 0.6), point(14, 1.0), point(16, None),
          SweepPoint(18, None, "", ()), SweepPoint(20, None, "", ()))  # fmt: skip


def drawn(points: tuple[SweepPoint, ...] = POINTS) -> ET.Element:
    return ET.fromstring(sweep_svg(points, key="pour.shop", unit="C", title="pegs < more"))


def words(root: ET.Element) -> list[str]:
    return [text.text or "" for text in root.iter(f"{SVG}text")]


def paths(
    root: ET.Element, width: str, dashes: str | None = None
) -> list[list[tuple[float, float]]]:
    """The corners of the lines of one kind on the page."""
    return [
        [tuple(map(float, p.split(","))) for p in path.attrib["d"][1:].split("L")]  # type: ignore[misc]
        for path in root.iter(f"{SVG}path")
        if path.get("stroke-width") == width and path.get("stroke-dasharray") == dashes
    ]


def test_the_gap_is_thick_and_goes_through_its_values() -> None:
    (gap,) = paths(drawn(), "1.1")

    # The top is 1.65 mm: the advice of 1.5 mm with a tenth more.
    assert [x for x, _ in gap] == pytest.approx([LEFT, LEFT + 28, LEFT + 56])
    assert [y for _, y in gap] == pytest.approx(
        [TOP + HIGH * (1 - mm / 1.65) for mm in (0.5, 0.6, 1.0)], abs=0.01
    )


def test_a_rule_ends_where_it_asks_for_all_too_much() -> None:
    slide, air = paths(drawn(), "0.35")

    assert [x for x, _ in slide] == pytest.approx([LEFT, LEFT + 28, LEFT + 56, LEFT + 84])
    assert [x for x, _ in air] == pytest.approx([LEFT, LEFT + 28, LEFT + 56])


def test_advice_is_dotted_and_a_far_bound_is_left_out() -> None:
    assert len(paths(drawn(), "0.35", "0.6 1.4")) == 1
    assert paths(drawn(), "0.35", "3 1.5") == []
    near = tuple(point(x, 0.6, most=1.4) for x in (10, 20))
    assert len(paths(drawn(near), "0.35", "3 1.5")) == 1


def test_grounds_go_half_way_to_the_neighbours() -> None:
    root = drawn()

    (grey,) = [r for r in root.iter(f"{SVG}rect") if r.get("fill") == GREY]
    assert float(grey.attrib["x"]) == pytest.approx(LEFT + 70)
    assert float(grey.attrib["width"]) == pytest.approx(28)
    (hatched,) = [p.attrib["d"] for p in root.iter(f"{SVG}path") if p.get("stroke-width") == "0.15"]
    xs = [float(end.split(",")[0]) for line in hatched.split("M")[1:] for end in line.split("L")]
    assert (min(xs), max(xs)) == (LEFT + 98, LEFT + 140)


def test_words_name_axis_stretches_and_curves() -> None:
    told = words(drawn())

    assert told[:6] == ["pegs < more", "set by", "slide", "air", "no gap", "refused"]
    assert "pour.shop, C" in told
    assert told[-5:] == [
        "gap", "slide", "air", "habit",
        (
            "thick: the gap; thin: at least; dashed: at most; dotted: advice;"
            " grey: no gap meets every rule; hatched: the job is refused"
        ),
    ]  # fmt: skip


def test_a_screen_reader_hears_every_value() -> None:
    described = drawn().find(f"{SVG}desc")

    assert described is not None
    assert described.text == (
        "Gap for each value of pour.shop, C. 10: 0.50 mm, set by slide; 12: 0.60 mm, set by air;"
        " 14: 1.00 mm, set by air; 16: no gap; 18: refused; 20: refused."
    )


def test_a_gap_that_runs_away_is_cut_off_at_twice_what_most_are() -> None:
    steep = (*(point(x, 1.0) for x in range(9)), point(9, 50.0))
    (gap,) = paths(drawn(steep), "1.1")

    # Four points of five lie at 1 mm, so the top is 2 mm; from 1 to 50 it is passed at 1/49.
    assert min(y for _, y in gap) == TOP
    assert gap[-1][0] == pytest.approx(LEFT + ROOM * (8 + 1 / 49) / 9, abs=0.01)


def test_without_any_gap_the_bounds_are_still_drawn() -> None:
    root = drawn(tuple(point(x, None) for x in (1, 2)))

    assert paths(root, "1.1") == []
    assert len(paths(root, "0.35")) == 1  # slide
    assert "thick" in words(root)[-1]


def test_a_bound_that_does_not_bind_is_no_line() -> None:
    free = tuple(point(x, 0.6, most=math.inf) for x in (1, 2))

    assert paths(drawn(free), "0.35", "3 1.5") == []
