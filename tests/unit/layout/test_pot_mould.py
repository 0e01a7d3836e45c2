"""What a closed mould covers in the pot, against the meshes that are printed."""

import math

import numpy as np
import pytest
import shapely

from mouldgen.answer import answer_job
from mouldgen.build import build_moulds
from mouldgen.job.load import load_job
from mouldgen.layout.pot_mould import blanks_in, least_moulds, mould_in_pot
from mouldgen.layout.pot_order import pot_of_order
from mouldgen.packing.shapes import Disc, Footprint, Polygon, Rectangle


def outline_of(shape: Footprint) -> shapely.Polygon:
    if isinstance(shape, Polygon):
        return shapely.Polygon(shape.corners_mm)
    assert isinstance(shape, Rectangle)
    half_x, half_y = shape.width_mm / 2, shape.depth_mm / 2
    return shapely.box(-half_x, -half_y, half_x, half_y)


MESH_MM = 0.05  # a facet's corners stand off the round by the chord, a tray's ear by a little more


@pytest.mark.parametrize("name", ["boathouse-pegs", "conference-pens", "orchard-grips"])
def test_no_part_of_the_closed_mould_reaches_over_its_outline(name: str) -> None:
    found = build_moulds(load_job(name).job)
    assert found.parts is not None
    assert found.answer.size is not None
    mould = mould_in_pot(found.answer.size)
    meshes = [part.assembled for part in found.parts.parts if part.count is None]
    points = np.vstack([np.asarray(mesh.vertices) for mesh in meshes])
    flat = points[:, :2] - (points[:, :2].min(axis=0) + points[:, :2].max(axis=0)) / 2

    if isinstance(mould.shape, Disc):
        over = float(np.hypot(*flat.T).max()) - mould.shape.radius_mm
    else:
        outline = outline_of(mould.shape)
        over = float(shapely.distance(outline, shapely.points(flat)).max())
    assert over <= MESH_MM
    assert np.ptp(points[:, 2]) == pytest.approx(mould.height_mm, abs=1e-3)


def test_a_tray_is_cut_along_the_round_that_holds_it() -> None:
    size = answer_job(load_job("conference-pens").job).size
    assert size is not None
    assert size.sides_mm is not None
    mould = mould_in_pot(size)

    assert isinstance(mould.shape, Polygon)
    width, depth = size.sides_mm
    reach = mould.across_mm / 2
    assert (mould.shape.width_mm, mould.shape.depth_mm) == pytest.approx((width, depth))
    # Each corner that is cut off lies beyond a tangent: four triangles are missing.
    diagonal = math.hypot(width, depth) / 2
    cos, sin = width / 2 / diagonal, depth / 2 / diagonal
    triangle = (diagonal - reach) ** 2 / (2 * sin * cos)
    assert mould.shape.area_mm2 == pytest.approx(width * depth - 4 * triangle)


def test_a_rubber_mould_counts_all_its_cavities() -> None:
    answer = answer_job(load_job("lamp-finials").job)
    assert answer.size is not None

    plan = pot_of_order(
        answer.job, answer.size, sizes=answer.sizes, blanks=20, printed=answer.printed
    )
    assert blanks_in(answer.size) == 4
    assert plan is not None
    assert [load.moulds for load in plan.loads] == [1] * 5
    # One cavity is filled for the first article; the 19 others take five fillings of four.
    shown = pot_of_order(
        answer.job,
        answer.size,
        sizes=answer.sizes,
        blanks=20,
        printed=answer.printed,
        first_alone=True,
    )
    assert shown is not None
    assert [load.moulds for load in shown.loads] == [1] * 6


def test_the_least_batch_in_moulds() -> None:
    job = load_job("boathouse-pegs", sets=["resin.least_batch=200 g"]).job
    size = answer_job(job).size
    assert size is not None
    from mouldgen.job.mixed import mixed_g_ml

    one = (size.net_ml + size.riser_ml) * mixed_g_ml(job.resin) * (1 + job.resin.loss)
    least = least_moulds(size, job.resin)
    assert (least - 1) * one < 200 <= least * one
    bare = load_job("boathouse-pegs").job.resin
    assert least_moulds(size, bare.model_copy(update={"least_batch": None})) == 1


def test_extras_are_reckoned_with() -> None:
    sets = ["extras.drip_tray=true", "extras.pot_rack=true"]
    answer = answer_job(load_job("boathouse-pegs", sets=sets).job)
    assert answer.size is not None
    plan = pot_of_order(
        answer.job, answer.size, sizes=answer.sizes, blanks=22, printed=answer.printed
    )

    assert plan is not None
    assert plan.tray_mm == answer.sizes.floor_mm > 0
    assert plan.tiers == 1
    assert plan.per_tier < 17  # a seat takes more room than a mould
    assert all(load.tiers[0].stands_mm == plan.tray_mm for load in plan.loads)
