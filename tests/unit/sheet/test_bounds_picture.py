"""The picture of the bounds: bars where the rules ask, a scale that a ruler confirms, words."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET

import pytest

from mouldgen.finding import Bound, Kind
from mouldgen.sheet.bounds_picture import bounds_svg, shown, shown_to_mm
from mouldgen.sheet.chart import GREY

SVG = "{http://www.w3.org/2000/svg}"
LEFT, ROOM = 24.0, 116.0  # where the plot starts on the page, and how wide it is [mm]
DARK = "#8c8c8c"


def bound(rule: str, kind: Kind, value: float | None) -> Bound:
    return Bound(rule, kind, value, why="because", source="belief")


BOUNDS = (
    bound("slide", "at_least", 0.67),
    bound("push", "at_least", 0.931),
    bound("turn", "at_least", 0.0),
    bound("fits", "at_most", 68.0),
    bound("heat", "at_most", 4.2),
    bound("depth", "at_most", math.inf),
    bound("habit", "advice", 3.0),
    bound("sequence", "advice", math.inf),  # words alone, so it has no row
)


def drawn(
    bounds: tuple[Bound, ...] = BOUNDS, gap: float | None = 0.94, by: str = "push"
) -> ET.Element:
    return ET.fromstring(bounds_svg(bounds, gap_mm=gap, set_by=by, title="pegs & more"))


def words(root: ET.Element) -> list[str]:
    return [text.text or "" for text in root.iter(f"{SVG}text")]


def bars(root: ET.Element, colour: str) -> list[float]:
    """Widths of the bars of a colour, without the one in the legend [mm]."""
    found = [r for r in root.iter(f"{SVG}rect") if r.get("fill") == colour]
    return [float(r.attrib["width"]) for r in found if r.get("height") == "4.4"]


def lines(root: ET.Element, width: str) -> list[str]:
    return [p.attrib["d"] for p in root.iter(f"{SVG}path") if p.get("stroke-width") == width]


def test_a_ruler_confirms_the_scale() -> None:
    root = drawn()

    # 1.05 times 4.2 mm must fit into 116 mm: 25 times, as 40 times would be 176 mm.
    assert "gap in mm, drawn 25 times as large as life" in words(root)
    assert bars(root, GREY) == [pytest.approx(25 * 0.67, abs=0.01)]
    assert bars(root, DARK) == [pytest.approx(25 * 0.931, abs=0.01)]
    (gap,) = lines(root, "0.9")
    assert float(gap[1:].split(",")[0]) == pytest.approx(LEFT + 25 * 0.94, abs=0.01)
    dots = [float(c.attrib["cx"]) for c in root.iter(f"{SVG}circle")]
    assert dots[0] == pytest.approx(LEFT + 25 * 3.0)
    assert root.attrib["width"] == f"{root.attrib['viewBox'].split()[2]}mm"


def test_at_most_is_hatched_from_its_value_to_the_right_edge() -> None:
    hatched = lines(drawn(), "0.25")[0]  # that of heat; the other is the legend's

    xs = [float(end.split(",")[0]) for line in hatched.split("M")[1:] for end in line.split("L")]
    assert min(xs) == pytest.approx(LEFT + 25 * 4.2, abs=0.01)
    assert max(xs) == pytest.approx(LEFT + ROOM, abs=0.01)


def test_words_say_what_every_rule_asks_for_to_its_strict_side() -> None:
    assert [text for text in words(drawn()) if " mm" in text or "gap will" in text] == [
        "at least 0.67 mm", "at least 0.94 mm", "any gap will do", "at most 68.00 mm",
        "at most 4.20 mm", "any gap will do", "advice 3.00 mm",
        "gap in mm, drawn 25 times as large as life", "gap 0.94 mm",
    ]  # fmt: skip


def test_a_far_bound_is_an_arrow_and_an_endless_one_nothing() -> None:
    arrows = [d for d in lines(drawn(), "0.4") if "l2,1.2" in d]

    assert len(arrows) == 1  # fits at 68 mm, not depth
    assert arrows[0].split("H")[1].startswith("140m")


def test_what_sets_the_gap_is_bold() -> None:
    bold = [t.text for t in drawn().iter(f"{SVG}text") if t.get("font-weight") == "bold"]

    assert bold == ["pegs & more", "push", "at least 0.94 mm", "gap 0.94 mm"]


def test_a_conflict_has_no_line_and_a_rule_that_nothing_meets_a_bar_all_along() -> None:
    broken = (bound("air", "at_least", None), bound("fits", "at_most", None), BOUNDS[0])
    root = drawn(broken, gap=None, by="air")

    assert lines(root, "0.9") == []
    assert "no gap is free of bars" in words(root)
    assert words(root).count("no gap will do") == 2
    assert bars(root, DARK) == [pytest.approx(ROOM)]
    described = root.find(f"{SVG}desc")
    assert described is not None
    assert described.text == (
        "No gap meets every rule: air no gap will do; fits no gap will do; slide at least 0.67 mm."
    )


def test_the_same_bounds_give_the_same_text() -> None:
    once = bounds_svg(BOUNDS, gap_mm=0.94, set_by="push", title="x")

    assert bounds_svg(BOUNDS, gap_mm=0.94, set_by="push", title="x") == once


@pytest.mark.parametrize(
    ("bounds", "gap", "reach"),
    [
        (BOUNDS, 0.94, 4.2),  # heat is within twice the advice, fits is not
        (BOUNDS[:4], 0.94, 0.94),
        (BOUNDS[:4], 5.0, 5.0),
        ((bound("fits", "at_most", 68.0),), None, 68.0),
        ((bound("air", "at_least", None),), None, 1.0),
        ((bound("air", "at_least", None), BOUNDS[0]), None, 0.67),
    ],
)
def test_how_far_a_plot_reaches(bounds: tuple[Bound, ...], gap: float | None, reach: float) -> None:
    assert shown_to_mm(bounds, gap_mm=gap) == reach


def test_a_wide_gap_is_not_enlarged() -> None:
    root = drawn((bound("turn", "at_least", 150.0),), gap=150.0, by="turn")

    assert "gap in mm" in words(root)
    assert bars(root, DARK) == [pytest.approx(ROOM / 1.05, abs=0.01)]


@pytest.mark.parametrize(
    ("kind", "value", "told"),
    [("at_least", 0.931, "0.94"), ("at_most", 0.939, "0.93"), ("at_least", 0.93, "0.93")],
)
def test_bounds_are_shown_to_their_strict_side(kind: Kind, value: float, told: str) -> None:
    assert shown(bound("x", kind, value)) == told


def test_bounds_in_inches() -> None:
    # 1.27 mm is 0.05 in, exactly.
    assert shown(bound("x", "at_least", 1.27), unit_mm=25.4, places=3) == "0.050"
