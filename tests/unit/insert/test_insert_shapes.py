"""Insert shapes: closed forms against hand-worked numbers and against their own meshes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from mouldgen.errors import JobError
from mouldgen.insert import envelope_solid, facts_of, shape_of, solid_of
from mouldgen.insert.flute import flute_radius, lens_mm2
from mouldgen.job.model import Insert


def insert(**values: object) -> Insert:
    return Insert.model_validate({"length": "70 mm", "density": "0.68 g/ml", **values})


ROD = insert(shape="rod", diameter="22 mm")
FLUTE = insert(shape="flute", diameter="30 mm", flutes=6, flute_area=0.2)
BAR = insert(shape="bar", width="24 mm", thickness="10 mm")


def test_rod() -> None:
    facts = facts_of(ROD, density_g_ml=0.68)
    assert facts.volume_ml == pytest.approx(math.pi * 11**2 * 70 / 1000)
    assert (facts.envelope_mm, facts.core_mm, facts.opening_mm) == (11.0, 11.0, 0.0)
    assert facts.mass_g == pytest.approx(0.68 * facts.volume_ml)


def test_flute_of_the_coat_pegs_displaces_39_6_ml() -> None:
    """Hand-worked: 0.8 pi 15^2 70 mm3 = 39.58 ml."""
    facts = facts_of(FLUTE, density_g_ml=0.68)
    assert facts.volume_ml == pytest.approx(39.58, abs=0.005)
    assert facts.core_mm < 15.0 - 3.0
    assert 6.0 < facts.opening_mm < 9.0


def test_bar_is_enclosed_by_its_diagonal() -> None:
    facts = facts_of(BAR, density_g_ml=1.0)
    assert (facts.envelope_mm, facts.core_mm) == (13.0, 5.0)
    assert facts.section_mm2 == 240.0
    assert facts.opening_mm == 24.0


def test_readings_of_a_bars_width_speak_for_its_envelope() -> None:
    bar = insert(shape="bar", width="24 mm", thickness="10 mm", measured=["24.5 mm"])
    assert facts_of(bar, density_g_ml=1.0).measured_mm == (pytest.approx(24.5 * 26 / 24),)


@pytest.mark.parametrize(("flutes", "share"), [(3, 0.1), (6, 0.2), (8, 0.15), (12, 0.05)])
def test_flutes_cut_away_the_share_asked_for(flutes: int, share: float) -> None:
    """The lens against a fine polygon clipped by arithmetic that shares nothing with it."""
    radius = 15.0
    flute = flute_radius(radius, flutes=flutes, share=share)
    assert flutes * lens_mm2(radius, flute) == pytest.approx(share * math.pi * radius**2, rel=1e-9)
    x = np.linspace(radius - flute, radius + flute, 400_001)
    own = np.sqrt(np.maximum(flute**2 - (x - radius) ** 2, 0.0))
    round_ = np.sqrt(np.maximum(radius**2 - x**2, 0.0))
    area = 2.0 * np.trapezoid(np.minimum(own, round_), x)
    assert lens_mm2(radius, flute) == pytest.approx(area, rel=1e-6)


def test_flutes_that_meet_are_refused() -> None:
    crowded = insert(shape="flute", diameter="30 mm", flutes=12, flute_area=0.5)
    with pytest.raises(JobError, match="12 flutes that cut away 50% of the section run into each"):
        facts_of(crowded, density_g_ml=1.0)


@pytest.mark.parametrize(
    ("made", "key"),
    [
        (insert(shape="rod"), r"\[insert\] diameter"),
        (insert(shape="bar", width="2 mm"), r"\[insert\] thickness"),
        (insert(shape="flute", diameter="30 mm", flutes=6), r"\[insert\] flute_area"),
    ],
)
def test_a_missing_key_is_named(made: Insert, key: str) -> None:
    with pytest.raises(JobError, match=key):
        facts_of(made, density_g_ml=1.0)


@pytest.mark.parametrize("made", [ROD, FLUTE, BAR], ids=lambda made: made.shape)
def test_mesh_converges_to_the_closed_form(made: Insert) -> None:
    """Corners on the surface: the error is of first order in the chord tolerance."""
    facts = facts_of(made, density_g_ml=1.0)
    errors = [
        abs(solid_of(made, chord_mm=t).volume_mm3() / 1000.0 / facts.volume_ml - 1.0)
        for t in (0.2, 0.02, 0.002)
    ]
    assert errors[2] <= 2.0 * 0.002 / facts.core_mm
    assert errors[0] >= errors[1] >= errors[2] or made.shape == "bar"


@pytest.mark.parametrize("made", [ROD, FLUTE, BAR], ids=lambda made: made.shape)
def test_corners_lie_on_the_surface_and_inside_the_envelope(made: Insert) -> None:
    facts = facts_of(made, density_g_ml=1.0)
    ring = shape_of(made.shape).outline(made, chord_mm=0.05)
    radii = np.hypot(*ring.T)
    assert radii.max() == pytest.approx(facts.envelope_mm, abs=1e-9)
    # The core is touched from outside, at a side's middle or at a flute's bottom.
    middles = np.hypot(*((ring + np.roll(ring, -1, axis=0)) / 2.0).T)
    assert min(radii.min(), middles.min()) == pytest.approx(facts.core_mm, abs=0.051)
    assert solid_of(made, chord_mm=0.05).mesh(genus=0).bounds[1][2] == 70.0


def test_envelope_has_its_corners_on_the_circle() -> None:
    mesh = envelope_solid(facts_of(FLUTE, density_g_ml=1.0), sides=64).any_mesh()
    rim = np.hypot(mesh.vertices[:, 0].astype(float), mesh.vertices[:, 1])
    assert rim == pytest.approx(np.full(128, 15.0), abs=1e-4)
