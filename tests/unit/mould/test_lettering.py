from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely

from mouldgen.errors import InputError
from mouldgen.mould.lettering import outline, strokes, text_width
from mouldgen.mould.strokes import CAP, CHARACTERS, SPACING, WIDEST

DRAWN = sorted(set(CHARACTERS) - {" "})
SHARES = (0.06, 0.168, WIDEST)
LOOK_ALIKES = ("0O", "0Ø", "0D", "OD", "OQ", "1I", "17", "5S", "8B", "2Z", "6G", "CG", "UV", "OØ")


def _round(text: str, height_mm: float, stroke_mm: float) -> shapely.Geometry:
    """What round strokes cover: made by an outside polygon library."""
    lines = [shapely.LineString(line) for line in strokes(text, height_mm=height_mm)]
    return shapely.unary_union(lines).buffer(stroke_mm / 2, quad_segs=64)


def _covered(text: str, height_mm: float, stroke_mm: float) -> shapely.Geometry:
    """Polygons from the rings by the even-odd rule."""
    area = shapely.Polygon()
    for ring in outline(text, height_mm=height_mm, stroke_mm=stroke_mm):
        area = area.symmetric_difference(shapely.Polygon(ring))
    return area


def test_every_character_asked_for_has_a_drawing() -> None:
    assert set(CHARACTERS) == set("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-./+#: ()Ø°")


@pytest.mark.parametrize("char", DRAWN)
def test_strokes_meet_at_shared_points_only_and_no_line_is_drawn_twice(char: str) -> None:
    sides = [
        shapely.LineString(pair)
        for line in strokes(char, height_mm=CAP)
        for pair in itertools.pairwise(line)
    ]
    for one, other in itertools.combinations(sides, 2):
        shared = one.intersection(other)
        assert shared.is_empty or (
            shared.geom_type == "Point"
            and min(shared.distance(shapely.Point(end)) for end in one.coords) < 1e-9
            and min(shared.distance(shapely.Point(end)) for end in other.coords) < 1e-9
        )


@pytest.mark.parametrize("char", DRAWN)
def test_a_character_fills_its_box_from_zero(char: str) -> None:
    points = np.array([point for line in strokes(char, height_mm=CAP) for point in line])
    assert points[:, 0].min() == 0.0
    assert points[:, 0].max() == pytest.approx(CHARACTERS[char][0], abs=1e-12)
    assert points[:, 1].min() >= -0.5
    assert points[:, 1].max() <= CAP + 0.5


@pytest.mark.parametrize("char", [char for char in DRAWN if char.isalnum() and char != "Ø"])
def test_letters_and_digits_stand_on_the_base_line_and_reach_the_height(char: str) -> None:
    y = [y for line in strokes(char, height_mm=4.5) for _, y in line]
    assert min(y) == 0.0
    assert max(y) == pytest.approx(4.5, abs=1e-12)


@pytest.mark.parametrize("share", SHARES)
@pytest.mark.parametrize("char", DRAWN)
def test_rings_are_simple_apart_and_turn_the_right_way(char: str, share: float) -> None:
    rings = outline(char, height_mm=5.0, stroke_mm=5.0 * share)
    shapes = [shapely.Polygon(ring) for ring in rings]
    assert all(shape.is_valid for shape in shapes)
    for one, other in itertools.combinations(shapes, 2):
        assert not one.boundary.intersects(other.boundary)
    for ring, shape in zip(rings, shapes, strict=True):
        depth = sum(other.contains(shape) for other in shapes if other is not shape)
        assert shapely.LinearRing(ring).is_ccw == (depth % 2 == 0)
        assert not np.array_equal(ring[0], ring[-1])


@pytest.mark.parametrize("share", SHARES)
@pytest.mark.parametrize("char", DRAWN)
def test_the_outline_is_the_union_of_the_strokes(char: str, share: float) -> None:
    """Never narrower than the stroke, at most 1/cos(22.5) - 1 of half a stroke beyond it."""
    stroke = 5.0 * share
    exact, ours = _round(char, 5.0, stroke), _covered(char, 5.0, stroke)
    assert exact.difference(ours.buffer(1e-9)).is_empty
    beyond = (1 / math.cos(math.radians(22.5)) - 1) * stroke / 2
    # Sharp points such as that of A bring no more: a corner is rounded, not mitred.
    assert shapely.hausdorff_distance(ours, exact, densify=0.05) <= beyond + 0.002
    plain = char.isalnum() and share < WIDEST
    tolerance = 0.01 if plain else 0.015 if char.isalnum() else 0.04  # a dot is nearly all ends
    assert ours.area == pytest.approx(exact.area, rel=tolerance)


@pytest.mark.parametrize("share", SHARES)
@pytest.mark.parametrize("char", DRAWN)
def test_no_counter_is_lost(char: str, share: float) -> None:
    def holes(area: shapely.Geometry) -> int:
        return sum(len(part.interiors) for part in getattr(area, "geoms", [area]))

    thin = _round(char, 5.0, 0.01)
    assert holes(_covered(char, 5.0, 5.0 * share)) == holes(thin)


@pytest.mark.parametrize(("height", "stroke"), [(4.0, 0.42), (4.0, 0.9), (8.0, 0.84), (1.0, 0.25)])
def test_no_edge_is_too_short_to_print(height: float, stroke: float) -> None:
    for char in DRAWN:
        for ring in outline(char, height_mm=height, stroke_mm=stroke):
            assert np.linalg.norm(np.roll(ring, -1, axis=0) - ring, axis=1).min() >= 0.01


def test_neighbours_stay_a_spacing_apart() -> None:
    text = "".join(DRAWN)
    height, stroke = 5.0, 0.9
    parts = shapely.get_parts(_covered(text, height, stroke))
    alone = sum(len(shapely.get_parts(_covered(char, height, stroke))) for char in DRAWN)
    assert len(parts) == alone
    assert height / CAP * SPACING - stroke > 0.84  # two lines of a common nozzle fit between


@pytest.mark.parametrize("pair", LOOK_ALIKES)
def test_look_alikes_differ_in_an_eighth_of_their_ink(pair: str) -> None:
    """At the smallest size printed; the best overlap over small shifts still differs."""
    one, other = (_covered(char, 4.0, 0.84) for char in pair)
    shifts = np.linspace(-1.0, 1.0, 9)
    moved = [shapely.affinity.translate(other, dx) for dx in shifts]
    least = min(one.symmetric_difference(shape).area / one.union(shape).area for shape in moved)
    assert least > 0.125


def test_width_adds_boxes_and_spacings() -> None:
    unit = 6.0 / CAP
    assert text_width("H", 6.0) == pytest.approx(4.0 * unit)
    assert text_width("HI", 6.0) == pytest.approx((4.0 + SPACING + 2.4) * unit)
    assert text_width("H ", 6.0) == pytest.approx((4.0 + SPACING + 1.0) * unit)
    assert text_width("", 6.0) == 0.0
    assert strokes("", height_mm=6.0) == ()


def test_the_outline_reaches_half_a_stroke_beyond_the_centre_lines() -> None:
    points = np.vstack(outline("HELD", height_mm=5.0, stroke_mm=0.8))
    low, high = points.min(axis=0), points.max(axis=0)
    assert low == pytest.approx([-0.4, -0.4], abs=1e-9)
    assert high == pytest.approx([text_width("HELD", 5.0) + 0.4, 5.4], abs=1e-9)


def test_one_stroke_is_an_octagon_ended_bar() -> None:
    (ring,) = outline("-", height_mm=6.0, stroke_mm=1.0)
    length, half, cut = 2.6, 0.5, 0.5 * (2 - math.sqrt(2))  # corner cut off a square end
    assert len(ring) == 8
    assert shapely.Polygon(ring).area == pytest.approx((length + 2 * half) - 2 * cut**2)


def test_lettering_scales_with_its_height() -> None:
    small = outline("R5", height_mm=4.0, stroke_mm=0.8)
    large = outline("R5", height_mm=8.0, stroke_mm=1.6)
    for one, other in zip(small, large, strict=True):
        assert 2 * one == pytest.approx(other, abs=1e-12)


def test_what_is_kept_cannot_be_spoiled() -> None:
    first = outline("A", height_mm=5.0, stroke_mm=0.8)
    first[0][:] = 0.0
    assert np.ptp(outline("A", height_mm=5.0, stroke_mm=0.8)[0]) > 5.0


@pytest.mark.parametrize("text", ["a", "BP_7", "ß", "A\n"])
def test_a_character_without_a_drawing_is_named(text: str) -> None:
    bad = next(char for char in text if char not in CHARACTERS)
    with pytest.raises(InputError, match="cannot be written on a mould") as caught:
        outline(text, height_mm=5.0, stroke_mm=0.8)
    assert repr(bad) in caught.value.what
    assert all(char in caught.value.allowed for char in DRAWN)


@pytest.mark.parametrize("height", [0.0, -1.0, math.inf, math.nan])
def test_a_height_that_is_not_one_is_refused(height: float) -> None:
    with pytest.raises(InputError, match=r"cannot be .* mm high"):
        strokes("A", height_mm=height)


@pytest.mark.parametrize("stroke", [0.0, -0.4, 1.26, math.nan])
def test_a_stroke_that_would_close_the_counters_is_refused(stroke: float) -> None:
    with pytest.raises(InputError, match="cannot draw characters 5 mm high"):
        outline("A", height_mm=5.0, stroke_mm=stroke)


@pytest.mark.parametrize("rule", ["NonZero", "EvenOdd", "Positive"])
def test_the_kernel_takes_the_rings_by_any_fill_rule(rule: str) -> None:
    manifold3d = pytest.importorskip("manifold3d")
    rings = outline("BP-7K2 G1.05", height_mm=5.0, stroke_mm=0.84)
    section = manifold3d.CrossSection(rings, getattr(manifold3d.FillRule, rule))
    area = sum(shapely.Polygon(ring).area for ring in rings if shapely.LinearRing(ring).is_ccw)
    area -= sum(shapely.Polygon(ring).area for ring in rings if not shapely.LinearRing(ring).is_ccw)
    assert section.area() == pytest.approx(area, rel=1e-6)
    solid = section.extrude(0.6)
    assert solid.status() == manifold3d.Error.NoError
    assert solid.volume() == pytest.approx(0.6 * area, rel=1e-6)
