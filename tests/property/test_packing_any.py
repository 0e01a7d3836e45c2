"""Any mix of footprints on any bed: apart, on the bed, each once, never below the bound."""

import math
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mouldgen.job.shop_tables import Printer
from mouldgen.layout.beds import PartFootprint, lay_out
from mouldgen.packing.pack import pack
from mouldgen.packing.shapes import Bed, Disc, Footprint, KeepOut, RectBed, RoundBed
from mouldgen.packing.verify import verify_plates
from tests.strategies import beds, clips, packing_items


@settings(max_examples=60, deadline=None)
@given(
    items=packing_items(),
    bed=beds(),
    margin=st.sampled_from([0.0, 5.0, 7.9]),
    spacing=st.sampled_from([0.0, 1.7, 3.0]),
    snap=st.sampled_from([0.0, 1 / 16]),
)
def test_layouts_are_right_and_not_better_than_the_bound(
    items: list[Footprint], bed: Bed, margin: float, spacing: float, snap: float
) -> None:
    found = pack(items, bed, margin_mm=margin, spacing_mm=spacing, snap_mm=snap)

    verify_plates(items, bed, found.plates, margin_mm=margin, spacing_mm=spacing)
    assert len(found) >= found.bound
    assert all(found)


@settings(max_examples=30, deadline=None)
@given(items=packing_items(), width=st.integers(150, 260), zones=clips(), round_=st.booleans())
def test_layouts_keep_clear_of_keep_outs(
    items: list[Footprint], width: int, zones: list[KeepOut], round_: bool
) -> None:
    bed: Bed = RoundBed(width) if round_ else RectBed(width, width)
    found = pack(items, bed, margin_mm=2, spacing_mm=3, snap_mm=1 / 16, keep_outs=zones)

    verify_plates(items, bed, found.plates, margin_mm=2, spacing_mm=3, keep_outs=zones)
    assert len(found) >= found.bound


@settings(max_examples=30, deadline=None)
@given(body=st.floats(5, 45), lid=st.floats(5, 45), moulds=st.integers(1, 30), round_=st.booleans())
def test_beds_hold_one_mould_first_and_then_the_rest(
    body: float, lid: float, moulds: int, round_: bool
) -> None:
    bed = {"diameter": "200 mm"} if round_ else {"width": "200 mm", "depth": "190 mm"}
    printer = Printer(shape="round" if round_ else "rectangle", height="200 mm", **bed)
    sizes = (("body", body, 90), ("lid", lid, 10))
    parts = [PartFootprint(n, Disc(r), high, count=moulds, first=1) for n, r, high in sizes]
    plans = lay_out(parts, printer=printer)

    assert [plan.number for plan in plans] == list(range(1, len(plans) + 1))
    for first, count in ((True, 1), (False, moulds - 1)):
        names = [i.part for plan in plans if plan.first_mould is first for i in plan.items]
        assert sorted(names) == ["body"] * count + ["lid"] * count
    for plan in plans:
        for a, b in combinations(plan.items, 2):
            gap = math.dist((a.x_mm, a.y_mm), (b.x_mm, b.y_mm)) - a.half_mm[0] - b.half_mm[0]
            assert gap >= 3 - 1e-5
        covered = math.fsum(math.pi * i.half_mm[0] ** 2 for i in plan.items)
        whole = math.pi * 100**2 if round_ else 200 * 190
        assert plan.used_fraction == pytest.approx(covered / whole, rel=1e-12)
