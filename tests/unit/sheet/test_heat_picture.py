"""The picture of the heat: bands where the histories run, limits, the cup's clock."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from functools import cache

import pytest

from mouldgen.mix.cure_heat import CureHeat, cure_heat
from mouldgen.physics.constants import ZERO_CELSIUS
from mouldgen.sheet.chart import GREY
from mouldgen.sheet.heat_picture import heat_svg
from tests.gap_questions import pour, question

SVG = "{http://www.w3.org/2000/svg}"
LEFT, TOP, ROOM, HIGH = 16.0, 34.0, 80.0, 62.0  # of the mould's plot on the page [mm]
CUP_LEFT, CUP_ROOM = 120.0, 68.0


@cache
def reckoned(gap: float | None = 2.0, close_min: float = 14.0) -> CureHeat:
    return cure_heat(
        question(pour=pour(close=60.0 * close_min)), gap_mm=gap, one_g=30.0, total_g=700.0
    )


def drawn(found: CureHeat) -> ET.Element:
    return ET.fromstring(heat_svg(found, plastic="PLA & co", title="pegs < more"))


def words(root: ET.Element) -> list[str]:
    return [text.text or "" for text in root.iter(f"{SVG}text")]


def bands(root: ET.Element) -> list[list[tuple[float, float]]]:
    """The corners of the grey bands on the page, the mould's first."""
    return [
        [tuple(map(float, p.split(","))) for p in path.attrib["d"][1:-1].split("L")]  # type: ignore[misc]
        for path in root.iter(f"{SVG}path")
        if path.get("fill") == GREY
    ]


def test_the_resins_band_reaches_its_hottest_step() -> None:
    found = reckoned(gap=12.0)
    mould = found.mould
    assert mould is not None
    band = bands(drawn(found))[0]

    hottest = max(float(way.hottest.max()) for way in mould.histories) - ZERO_CELSIUS
    top = max(1.08 * (max(mould.peak.high, mould.wall.high) - ZERO_CELSIUS), 76.0)
    assert min(y for _, y in band) == pytest.approx(
        TOP + HIGH * (top - hottest) / (top - 20.0), abs=0.01
    )
    assert min(x for x, _ in band) == LEFT
    assert max(x for x, _ in band) == pytest.approx(LEFT + ROOM, abs=0.01)


def test_the_cups_band_goes_through_its_batches() -> None:
    found = reckoned()
    band = bands(drawn(found))[1]

    ends = math.log10(found.cups[0].mass_g), math.log10(found.cups[-1].mass_g)
    top = 1.15 * max(cup.gel.high for cup in found.cups)
    expected = [
        (
            CUP_LEFT + CUP_ROOM * (math.log10(cup.mass_g) - ends[0]) / (ends[1] - ends[0]),
            TOP + HIGH * (1.0 - cup.gel.high / top),
        )
        for cup in found.cups
    ]
    assert [x for x, _ in band[: len(expected)]] == pytest.approx(
        [x for x, _ in expected], abs=0.01
    )
    assert [y for _, y in band[: len(expected)]] == pytest.approx(
        [y for _, y in expected], abs=0.01
    )


def test_words_say_what_is_seen() -> None:
    told = words(drawn(reckoned()))

    assert told[:2] == ["pegs < more", "In the mould"]
    for text in (
        "PLA & co softens 70 °C", "wall kept below 60 °C", "gels", "hard enough", "°C",
        "In the mixing cup", "mould closed at 14 min", "all 700 g", "gels after, min",
        "batch in one cup, g", "20", "50", "100", "200", "500", "1000",
    ):  # fmt: skip
        assert text in told
    assert "resin kept below 120 °C" not in told  # far above all that happens here


def test_what_is_near_is_drawn_too() -> None:
    assert "resin kept below 120 °C" in words(drawn(reckoned(gap=12.0)))
    assert any(text.startswith("largest cup ") for text in words(drawn(reckoned(close_min=40.0))))
    assert not any(text.startswith("largest cup ") for text in words(drawn(reckoned())))


def test_without_a_gap_only_the_cup_is_drawn() -> None:
    root = drawn(reckoned(gap=None))

    assert len(bands(root)) == 1
    assert "No gap will do, so no mould is reckoned." in words(root)


def test_a_screen_reader_hears_the_bands() -> None:
    described = drawn(reckoned()).find(f"{SVG}desc")
    mould = reckoned().mould
    assert described is not None
    assert described.text is not None
    assert mould is not None

    low, high = mould.peak.low - ZERO_CELSIUS, mould.peak.high - ZERO_CELSIUS
    assert described.text.startswith(
        f"In the mould the resin peaks at {low:.0f} to {high:.0f} °C and the printed wall at"
    )
    assert "; PLA & co softens at 70 °C. In its cup a batch gels: 20 g after" in described.text


def test_the_same_heat_gives_the_same_text() -> None:
    one, two = (heat_svg(reckoned(), plastic="PLA", title="x") for _ in range(2))

    assert one == two
