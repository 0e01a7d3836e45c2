"""The picture of a pour: true to scale, its areas and words, the same every time."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from mouldgen.pour.air_space import runs_of_voxels
from mouldgen.pour.pour import Pour, pour
from mouldgen.pour.slices import slice_air
from mouldgen.pour.space import UPRIGHT, Attitude
from mouldgen.sheet.pocket_picture import pocket_svg
from tests.spaces import blind_hole, rod, space, tilted_hole_ml

SVG = "{http://www.w3.org/2000/svg}"
RESIN, SHUT, AIR = "#dfe7ee", "#1a1a1a", "white"


def hole(lean: Attitude = UPRIGHT) -> Pour:
    return pour(slice_air(blind_hole(4.0, 20.0, at=3.0), attitude=lean), level_mm=40.0)


def drawn(found: Pour) -> ET.Element:
    return ET.fromstring(pocket_svg(found, title="pegs & more"))


def words(root: ET.Element) -> list[str]:
    return [text.text or "" for text in root.iter(f"{SVG}text")]


def area(root: ET.Element, colour: str) -> float:
    """Of all outlines of a shade, by the shoelace formula [mm2]."""
    total = 0.0
    for path in root.iter(f"{SVG}path"):
        if path.get("fill") != colour:
            continue
        for outline in path.attrib["d"].split("M")[1:]:
            points = np.array([p.split(",") for p in outline.rstrip("z").split()], float)
            x, y = points.T
            total += abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2.0
    return total


def test_one_unit_is_one_millimetre() -> None:
    root = drawn(hole())

    assert root.attrib["viewBox"].split()[2:] == [
        root.attrib[side].removesuffix("mm") for side in ("width", "height")
    ]
    block = root.findall(f"{SVG}rect")[1].attrib
    # The hollow is 40 mm across (drawn around its circle) and 50 mm high; 3 mm of grey.
    assert float(block["width"]) == pytest.approx(46.0, abs=0.1)
    assert float(block["height"]) == pytest.approx(53.0)


def test_areas_of_an_upright_section() -> None:
    root = drawn(hole())

    assert area(root, SHUT) == pytest.approx(8.0 * 20.0, rel=0.01)
    assert area(root, AIR) == pytest.approx(40.0 * 10.0, rel=0.01)
    # To 40 mm, less a block of 24 x 26 mm that stands at 3 mm.
    assert area(root, RESIN) == pytest.approx(40.0 * 40.0 - 24.0 * 26.0, rel=0.01)


def test_area_of_a_leaning_pocket() -> None:
    """A rectangle less the triangle under the mouth's high side: 8 (20 - 4 tan 15)."""
    root = drawn(hole(Attitude(15.0)))

    exact = 8.0 * (20.0 - 4.0 * math.tan(math.radians(15.0)))
    assert area(root, SHUT) == pytest.approx(exact, abs=8.0 * 0.5)


def test_words_beside_an_upright_pocket() -> None:
    text = words(drawn(hole()))

    assert text[:4] == [
        "pegs & more",
        "1: 1.01 ml",
        "20.0 mm high, at 0, 0, 13 mm",
        "Shut in: 1.01 ml",
    ]
    assert text[4:] == ["resin", "air shut in", "open air", "all else"]


def test_words_beside_a_leaning_pocket() -> None:
    root = drawn(hole(Attitude(15.0, 190.0)))

    label = float(words(root)[1].removeprefix("1: ").removesuffix(" ml"))
    assert label == pytest.approx(tilted_hole_ml(4.0, 20.0, 15.0), abs=0.03)
    described = root.find(f"{SVG}desc")
    assert described is not None
    assert described.text is not None
    assert described.text.startswith(
        "Section through the axis, poured leaning by 15 degrees towards 190 degrees: 1 pocket"
    )


def test_a_pocket_beside_the_section_says_so() -> None:
    block = rod(15.0, 3.0, 40.0) - rod(3.0, 2.0, 20.0, centre=(0, 9))
    root = drawn(pour(slice_air(space(rod(20.0, 0.0, 60.0), block))))

    assert words(root)[2] == "17.0 mm high, at 0, 9, 12 mm, off this section"
    assert area(root, SHUT) == 0.0


def test_a_pour_that_shuts_nothing_in_says_so() -> None:
    root = drawn(pour(slice_air(space(rod(20.0, 0.0, 60.0)))))

    assert words(root)[1] == "No air stays shut in"
    assert not list(root.iter(f"{SVG}circle"))


def test_many_pockets_are_told_as_one_sum() -> None:
    air = np.zeros((10, 1, 40), bool)
    air[2, 0, ::2] = True
    air[-1] = True
    root = drawn(pour(runs_of_voxels(air, voxel_mm=5.0)))

    assert "8 smaller: 1.00 ml" in words(root)
    assert words(root)[-5] == "Shut in: 2.50 ml"


def test_a_pocket_above_the_level_is_not_dark() -> None:
    found = pour(slice_air(blind_hole(4.0, 20.0, at=3.0)))

    assert area(drawn(found.stopped_at(2.0)), SHUT) == 0.0
    assert words(drawn(found.stopped_at(2.0)))[1] == "No air stays shut in"


def test_the_same_pour_gives_the_same_text() -> None:
    assert pocket_svg(hole(), title="x") == pocket_svg(hole(), title="x")
