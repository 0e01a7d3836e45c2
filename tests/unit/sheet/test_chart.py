"""The parts of a plot: round ticks, curves cut at a frame, labels kept apart, whole documents."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET

import pytest

from mouldgen.sheet.chart import (
    Frame,
    apart,
    document,
    hatching,
    n,
    step,
    text,
    ticks,
    within,
    x_axis,
    y_axis,
)

SVG = "{http://www.w3.org/2000/svg}"
FRAME = Frame(left=10.0, top=20.0, width=100.0, height=50.0, x_from=0.0, x_to=4.0, y_from=-1.0,
              y_to=1.0)  # fmt: skip
INF = math.inf


@pytest.mark.parametrize(
    ("span", "most", "by"),
    [(10.0, 10, 1.0), (10.1, 10, 2.0), (21.0, 10, 5.0), (51.0, 10, 10.0), (0.94, 8, 0.2),
     (3.06, 8, 0.5), (300.0, 6, 50.0), (1.0, 3, 0.5)],
)  # fmt: skip
def test_steps_are_one_two_or_five_times_a_power_of_ten(span: float, most: int, by: float) -> None:
    assert step(span, most=most) == pytest.approx(by, rel=1e-12)


@pytest.mark.parametrize(
    ("start", "end", "at"),
    [
        (0.0, 1.0, (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)),
        (15.0, 32.0, (15.0, 20.0, 25.0, 30.0)),
        (-1.1, 1.1, (-1.0, -0.5, 0.0, 0.5, 1.0)),
    ],
)
def test_ticks_are_exact_decimals(start: float, end: float, at: tuple[float, ...]) -> None:
    assert ticks(start, end, most=5) == at


def test_a_frame_puts_values_on_the_page() -> None:
    assert (FRAME.x(1.0), FRAME.y(0.0), FRAME.right, FRAME.foot) == (35.0, 45.0, 110.0, 70.0)
    assert FRAME.path([(0.0, -1.0), (4.0, 1.0)]) == "M10,70L110,20"


@pytest.mark.parametrize(
    ("points", "pieces"),
    [
        ([(0, 1), (1, 2)], [[(0, 1), (1, 2)]]),
        # leaves upward half way, comes back half way
        ([(0, 1), (2, 5), (4, 1)], [[(0, 1), (1, 3)], [(3, 3), (4, 1)]]),
        # from below through to above
        ([(0, -1), (8, 7)], [[(1, 0), (4, 3)]]),
        # wholly outside
        ([(0, 4), (1, 9)], []),
        # no value in between: two pieces
        ([(0, 1), (1, 1), (2, INF), (3, 2), (4, 2)], [[(0, 1), (1, 1)], [(3, 2), (4, 2)]]),
        # along the edge stays
        ([(0, 3), (1, 3)], [[(0, 3), (1, 3)]]),
    ],
)
def test_curves_are_cut_where_they_leave(
    points: list[tuple[float, float]], pieces: list[list[tuple[float, float]]]
) -> None:
    assert within(points, low=0.0, high=3.0) == pieces


@pytest.mark.parametrize(
    ("heights", "placed"),
    [
        ([10.0, 20.0], [10.0, 20.0]),
        ([10.0, 11.0], [10.0, 14.0]),
        ([12.0, 10.0, 11.0], [18.0, 10.0, 14.0]),
        ([49.0, 50.0], [46.0, 50.0]),
        ([-5.0, 60.0], [0.0, 50.0]),
    ],
)
def test_labels_are_kept_apart(heights: list[float], placed: list[float]) -> None:
    assert apart(heights, least=4.0, low=0.0, high=50.0) == placed


def test_hatching_stays_in_its_rectangle_and_fills_it() -> None:
    data = hatching(5.0, 7.0, 10.0, 4.0, apart=2.0)

    ends = [
        tuple(float(v) for v in end.split(","))
        for line in data.split("M")[1:]
        for end in line.split("L")
    ]
    assert len(ends) == 2 * 6
    assert all(5.0 <= x <= 15.0 and 7.0 <= y <= 11.0 for x, y in ends)
    for of_each_line in (ends[::2], ends[1::2]):  # at 45 degrees x + y is the same at both ends
        assert [x + y - 12.0 for x, y in of_each_line] == pytest.approx([2, 4, 6, 8, 10, 12])


def test_a_document_is_xml_whatever_its_words() -> None:
    told = document([text(1, 2, 'a < b & "c"')], name="x", title="<t>", description="&", width=10,
                    height=5)  # fmt: skip
    root = ET.fromstring(told)

    assert root.attrib["aria-labelledby"] == "x-title x-desc"
    assert [(e.tag, e.attrib.get("id"), e.text) for e in root[:2]] == [
        (f"{SVG}title", "x-title", "<t>"), (f"{SVG}desc", "x-desc", "&"),
    ]  # fmt: skip
    assert [e.text for e in root.iter(f"{SVG}text")] == ['a < b & "c"']


def test_axes_number_their_ticks() -> None:
    def words(parts: list[str]) -> list[str | None]:
        root = ET.fromstring(f'<g xmlns="http://www.w3.org/2000/svg">{"".join(parts)}</g>')
        return [e.text for e in root.iter(f"{SVG}text")]

    assert words(list(x_axis(FRAME, "C"))) == ["0", "0.5", "1", "1.5", "2", "2.5", "3", "3.5", "4",
                                               "C"]  # fmt: skip
    assert words(list(y_axis(FRAME, "mm"))) == ["-1", "-0.5", "0", "0.5", "1", "mm"]
    assert words(list(x_axis(FRAME, "g", marks=[1.0, 2.0], shown=["ten", "hundred"]))) == [
        "ten", "hundred", "g",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("value", "shown"), [(1.0, "1"), (-0.001, "0"), (2.345, "2.35"), (0.5, "0.5")]
)
def test_lengths_have_two_decimals_at_most(value: float, shown: str) -> None:
    assert n(value) == shown
