"""The picture of voids over the gap: band, circles, lines, and words that stay on the page."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from mouldgen.castings.seen import gaps_seen, seen_at
from mouldgen.castings.tune import Tuned, tune
from mouldgen.sheet.chance_picture import chance_svg
from mouldgen.sheet.chart import WIDTH_OF_LETTER
from tests.casting_rows import TAKEN_MM, counted, job, peg_cost

SVG = "{http://www.w3.org/2000/svg}"
ROWS = [*counted(1, 1.0, 4, 10), *counted(2, 1.0, 3, 10), *counted(3, 2.0, 0, 8)]


def tuned(rows: list | None = None, air_mm: float = 1.0) -> Tuned:
    return tune(
        ROWS if rows is None else rows,
        job=job(air_mm),
        cost_at=peg_cost,
        least_mm=0.7,
        most_mm=5.0,
        draws=512,
    )


def drawn(found: Tuned) -> ET.Element:
    return ET.fromstring(chance_svg(found, title="pegs <& others>"))


def words(picture: ET.Element) -> list[str]:
    return [element.text or "" for element in picture.iter(f"{SVG}text")]


def test_castings_of_another_air_gap_stand_where_they_are_as_wide() -> None:
    # A row at twice what air asked of it stands at twice the job's own air gap, and take-up.
    assert sorted(set(gaps_seen(tuned(air_mm=0.5)))) == pytest.approx(
        [TAKEN_MM + 0.5, TAKEN_MM + 1.0], rel=1e-12
    )


def test_castings_are_counted_at_the_nearest_gap() -> None:
    found = [(at.voids, at.castings) for at in seen_at(tuned(), (0.9, 1.25, 2.1, 4.0))]

    assert found == [(0, 0), (7, 20), (0, 8), (0, 0)]


def test_castings_beyond_the_gaps_that_are_shown_are_told_apart() -> None:
    # Those that were cast at 2.1 mm are counted at 1.5 mm, the nearest, though wider.
    of = seen_at(tuned(), (1.25, 1.5))

    assert [(at.voids, at.castings, at.beyond) for at in of] == [(7, 20, 0), (0, 8, 8)]


def test_one_circle_holds_the_castings_of_one_gap() -> None:
    picture = drawn(tuned())
    circles = list(picture.iter(f"{SVG}circle"))
    areas = [float(circle.get("r")) ** 2 for circle in circles]

    assert len(circles) == 2
    assert areas[0] / areas[1] == pytest.approx(20 / 8, rel=0.02)
    assert {"7 of 20", "0 of 8"} <= set(words(picture))
    assert float(circles[0].get("cy")) < float(circles[1].get("cy"))  # more voids stand higher
    assert float(circles[0].get("cx")) < float(circles[1].get("cx"))


def test_the_gap_of_least_cost_and_todays_are_named() -> None:
    found = tuned()
    told = words(drawn(found))

    assert f"least cost {found.least.gap_mm:.2f} mm" in told
    assert f"now {found.least.now_mm:.2f} mm" in told
    description = drawn(found).find(f"{SVG}desc").text
    assert description.startswith("7 of 28 castings had voids.")


@pytest.mark.parametrize(
    "rows", [ROWS, [], counted(1, 0.3, 9, 9), counted(1, 9.0, 0, 9), counted(1, 1.0, 1, 1)]
)
def test_all_words_and_lines_are_on_the_page(rows: list) -> None:
    text = chance_svg(tuned(rows), title="pegs")
    picture = ET.fromstring(text)

    assert not re.search(r"nan|inf", text)
    for element in picture.iter(f"{SVG}text"):
        size, x = float(element.get("font-size")), float(element.get("x"))
        wide = WIDTH_OF_LETTER * size * len(element.text)
        start = {"start": x, "middle": x - wide / 2, "end": x - wide}[element.get("text-anchor")]
        assert start >= -0.5
        assert start + wide <= 190.5, element.text
    for path in picture.iter(f"{SVG}path"):
        points = re.findall(r"[ML](-?[\d.]+),(-?[\d.]+)", path.get("d"))
        assert all(0.0 <= float(x) <= 190.0 and 0.0 <= float(y) <= 118.0 for x, y in points)


def test_the_same_castings_draw_the_same_bytes() -> None:
    assert chance_svg(tuned(), title="pegs") == chance_svg(tuned(), title="pegs")
