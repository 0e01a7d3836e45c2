"""What is open in a split mould: the slots that a blade goes into, the ways through the seat."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest

from mouldgen.build import build_moulds
from mouldgen.mould.split_hollow import split_hollow
from mouldgen.mould_set import MouldSet
from mouldgen.size.split import SLOT_MM, split_size
from mouldgen.solid.kernel import Solid, box
from tests.demo_set import job_with


@cache
def fed() -> MouldSet:
    mould = {"family": "split", "gap": 6.0, "lettering": False, "chord": 0.05}
    return build_moulds(job_with(mould=mould, pour={"sequence": "bottom-feed"}))


@pytest.mark.parametrize(("name", "way"), [("front", -1.0), ("back", 1.0)])
def test_a_blade_finds_half_of_each_slot_in_either_half(name: str, way: float) -> None:
    """Two corners across from each other; a slot in one half alone would bend that half."""
    size = split_size(fed().plan.size)
    half = Solid.of_mesh(fed().parts.part(name).assembled)
    along, into, deep = SLOT_MM
    low, high = size.bottom_mm, size.rim_mm
    right = ((size.right_mm - into, low), (size.right_mm, low + along))
    left = ((-size.left_mm, high - along), (into - size.left_mm, high))
    for (x0, z0), (x1, z1) in (right, left):
        open_ = box((x0, min(0.0, way * deep), z0), (x1, max(0.0, way * deep), z1))
        assert (half ^ open_).volume_mm3() == pytest.approx(0.0, abs=0.01)
        # And no deeper: behind it stands the block.
        behind = box(
            (x0, min(way * deep, way * 2.0 * deep), z0), (x1, max(way * deep, way * 2.0 * deep), z1)
        )
        assert (half ^ behind).volume_mm3() == pytest.approx(along * into * deep, abs=0.1)


@pytest.mark.parametrize("radius", [3.0, 5.5])
def test_the_seat_leaves_the_gate_its_whole_width(radius: float) -> None:
    """Resin comes in along the x axis: the seat's way there is as wide as the gate."""
    plan, size = fed().plan, split_size(fed().plan.size)
    assert plan.sockets.lower
    wide = replace(size, runner=replace(size.runner, radius_mm=radius))
    hollow = split_hollow(replace(plan, size=wide), wide)
    inner, top = plan.sockets.foot_inner_mm, plan.insert_foot_mm + plan.sockets.foot_depth_mm
    # Over the ridges that the insert stands on, out to just before the wall.
    far = (size.bore_mm(top) ** 2 - radius**2) ** 0.5
    way = box((inner, -radius, plan.insert_foot_mm), (far, radius, top))
    assert (way - hollow).volume_mm3() == pytest.approx(0.0, abs=0.01)
