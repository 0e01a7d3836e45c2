"""Layouts by shapely's own distances to 1e-6 mm, which is finer than the package's own check."""

import math
import random
import time
from itertools import combinations

import numpy as np
import pytest
import shapely

from mouldgen.packing.outline import ways_up
from mouldgen.packing.pack import pack
from mouldgen.packing.shapes import (
    Bed,
    Disc,
    Footprint,
    Placed,
    Polygon,
    Rectangle,
    RectBed,
    RoundBed,
    RoundedRectangle,
)

SLACK = 1.01e-6
L = Polygon(((0, 0), (80, 0), (80, 25), (25, 25), (25, 60), (0, 60)))
MIRRORED = Polygon(tuple((-x, y) for x, y in reversed(L.corners_mm)))
ARROW = Polygon(((0, 0), (20, 0), (20, 20), (10, 10), (0, 20)))


def star(points: int, dice: random.Random) -> Polygon:
    return Polygon(
        tuple(
            (far * math.cos(turn), far * math.sin(turn))
            for i in range(points)
            for turn in [math.tau * (i + dice.uniform(0.0, 0.8)) / points]
            for far in [dice.uniform(8.0, 40.0)]
        )
    )


def laid(item: Footprint, place: Placed) -> tuple[shapely.Geometry, float]:
    """The outline less its round rim, where it lies, and the rim [mm]."""
    if isinstance(item, Disc):
        return shapely.Point(place.x_mm, place.y_mm), item.radius_mm
    if isinstance(item, Polygon):
        corners = np.array(item.corners_mm)
        for _ in range(place.turned):
            corners = np.stack([-corners[:, 1], corners[:, 0]], axis=1)
        middle = (corners.min(axis=0) + corners.max(axis=0)) / 2
        return shapely.Polygon(corners - middle + [place.x_mm, place.y_mm]), 0.0
    rim = item.corner_mm if isinstance(item, RoundedRectangle) else 0.0
    half = [item.width_mm / 2 - rim, item.depth_mm / 2 - rim]
    x, y = half[::-1] if place.turned else half
    return shapely.box(place.x_mm - x, place.y_mm - y, place.x_mm + x, place.y_mm + y), rim


def short(
    items: list[Footprint], bed: Bed, plate: tuple[Placed, ...], margin: float, spacing: float
) -> float:
    """By how much the worst pair or edge of a plate falls short [mm]."""
    pieces = [laid(items[place.item], place) for place in plate]
    found = []
    for core, rim in pieces:
        at = shapely.get_coordinates(core)
        if isinstance(bed, RectBed):
            room = min(at.min(), bed.width_mm - at[:, 0].max(), bed.depth_mm - at[:, 1].max())
        else:
            radius = bed.diameter_mm / 2
            room = radius - float(np.hypot(*(at - radius).T).max())
        found.append(rim + margin - room)
    for (one, rim), (other, edge) in combinations(pieces, 2):
        gap = one.distance(other) - rim - edge
        inner = one.buffer(-SLACK, join_style="mitre")
        crosses = inner.intersects(other) if rim == 0 and edge == 0 else one.intersects(other)
        found.append(math.inf if crosses else spacing - gap)
    return max(found)


@pytest.mark.parametrize("snap", [0.0, 1 / 16])
@pytest.mark.parametrize("seed", range(8))
def test_any_mix_lies_apart_and_on_the_bed(seed: int, snap: float) -> None:
    dice = random.Random(seed)
    kinds: list[Footprint] = [
        Disc(dice.uniform(5, 30)), Rectangle(dice.uniform(10, 50), dice.uniform(10, 90)),
        RoundedRectangle(30, dice.uniform(40, 90), dice.uniform(1, 15)), L, MIRRORED, ARROW,
        star(dice.randrange(3, 8), dice),
    ]  # fmt: skip
    items = [dice.choice(kinds) for _ in range(25)]
    bed = RoundBed(dice.uniform(180, 260)) if seed % 2 else RectBed(dice.uniform(150, 250), 200.37)
    margin, spacing = dice.choice([0.0, 4.3]), dice.choice([0.0, 2.71])
    found = pack(items, bed, margin_mm=margin, spacing_mm=spacing, snap_mm=snap)

    assert sorted(place.item for plate in found for place in plate) == list(range(25))
    assert max(short(items, bed, plate, margin, spacing) for plate in found) <= SLACK


def test_an_arrow_is_tried_all_four_ways() -> None:
    """Its corners are those of a square and its middle: only their order tells the turns apart."""
    assert [shape.turned for shape in ways_up(ARROW, 0)] == [0, 1, 2, 3]


def test_outlines_with_hollows_may_touch() -> None:
    found = pack([L, L], RectBed(160, 60), margin_mm=0, spacing_mm=0)

    assert len(found) == 1
    assert short([L, L], RectBed(160, 60), found[0], 0.0, 0.0) <= SLACK


def test_an_l_fits_only_as_it_is_and_its_mirror_image_only_beside_it() -> None:
    """Together they fill a T exactly; two of one hand do not fit the same bed."""
    bed = RectBed(105, 85)
    pair: list[Footprint] = [L, L]
    found = pack(pair, bed, margin_mm=0, spacing_mm=0)
    assert len(found) == 1  # one turned by half a turn: 80 + 25 by 60 + 25
    assert short(pair, bed, found[0], 0.0, 0.0) <= SLACK


def test_a_quick_layout_of_slanted_outlines_takes_a_moment() -> None:
    """Two such stars took 11 s and more before the work of the further ways was counted."""
    dice = random.Random(24)
    kinds = [star(8, dice) for _ in range(3)]
    start = time.thread_time()
    found = pack(
        [dice.choice(kinds) for _ in range(32)], RoundBed(200),
        margin_mm=1.3, spacing_mm=2.1, snap_mm=0.0,
    )  # fmt: skip

    assert found.bound <= len(found) <= 10
    assert time.thread_time() - start < 5.0  # 1.4 s; a busy machine takes twice that
