"""How inserts lie: extents and places of touch, against their meshes."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from mouldgen.insert import facts_of, solid_of
from mouldgen.job.load import load_job
from mouldgen.size.lying import facts_across, lying

BARE = Path(__file__).parents[2] / "bare_job.toml"
MEMBERS = (
    'insert.member=[{shape="rod", diameter="10 mm", at=["12 mm", "0 mm"]},'
    ' {shape="tube", diameter="10 mm", inside="8 mm", at=["-12 mm", "0 mm"]},'
    ' {shape="bar", width="6 mm", thickness="4 mm", at=["0 mm", "2 mm"], turn="30 deg"}]'
)
SHAPES = {
    "rod": ["shape=rod", "diameter=20 mm"],
    "tube": ["shape=tube", "diameter=20 mm", "inside=12 mm"],
    "bar": ["shape=bar", "width=24 mm", "thickness=9 mm"],
    "honeycomb": ["shape=bundle", "cell=5.8 mm", "cell_wall=0.2 mm", "width=18 mm",
                  "thickness=17.4 mm"],
    "heap": ["shape=bundle", "width=40 mm", "thickness=30 mm", "displaced=20 ml"],
    "round heap": ["shape=bundle", "diameter=40 mm", "displaced=20 ml"],
    "members": ["shape=bundle", MEMBERS.removeprefix("insert.")],
}  # fmt: skip


def laid_and_mesh(name: str):
    sets = [f"insert.{key}" for key in SHAPES[name]]
    insert = load_job(BARE, sets=sets).job.insert
    facts = facts_of(insert, density_g_ml=0.7)
    mesh = solid_of(insert, chord_mm=0.0005).any_mesh()
    return lying(insert, facts), facts, mesh.vertices.astype(float)


@pytest.mark.parametrize("name", SHAPES)
def test_its_box_is_that_of_its_mesh(name):
    laid, _, corners = laid_and_mesh(name)
    low, high = corners.min(axis=0), corners.max(axis=0)
    got = (laid.width_mm, laid.tall_mm, laid.length_mm)
    assert got == pytest.approx(tuple(high - low), abs=0.003)
    assert laid.middle_mm == pytest.approx(tuple((high + low)[:2] / 2.0), abs=0.003)


@pytest.mark.parametrize("name", SHAPES)
def test_both_ends_of_a_range_are_touched(name):
    laid, _, corners = laid_and_mesh(name)
    at = corners[:, :2] - np.array(laid.middle_mm)
    for level, touched in (
        (laid.tall_mm / 2.0, laid.top_mm),
        (-laid.tall_mm / 2.0, laid.bottom_mm),
    ):
        for x in touched:
            assert np.hypot(at[:, 0] - x, at[:, 1] - level).min() < 0.2
            near = at[np.abs(at[:, 0] - x) < 0.2, 1]
            assert np.abs(near - level).min() < 0.003


def test_readings_are_of_the_width():
    sets = ["insert.shape=bar", "insert.width=24 mm", "insert.thickness=9 mm",
            'insert.measured=["24.2 mm", "23.9 mm"]']  # fmt: skip
    insert = load_job(BARE, sets=sets).job.insert
    facts = facts_of(insert, density_g_ml=0.7)
    across = facts_across(facts, lying(insert, facts))
    assert across.envelope_mm == 12.0
    assert across.measured_mm == pytest.approx((24.2, 23.9))
    assert across.reading_scale == pytest.approx(1.0)
