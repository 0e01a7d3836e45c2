"""A bore of straight pieces against the closed forms of cylinder, cone and frustum."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from mouldgen.errors import InternalError
from mouldgen.size.profile import Profile, drafted

CONE = Profile(((0.0, 0.0), (30.0, 10.0)))
# A waist: 20 mm wide at the floor, 12 at 25 mm, 30 at 60 mm.
WAIST = Profile(((0.0, 10.0), (25.0, 6.0), (60.0, 15.0)))


def test_a_cylinder_and_a_cone() -> None:
    assert drafted(16.0, 0.0).volume_ml(80.0) == pytest.approx(math.pi * 256 * 0.08)
    assert CONE.volume_ml(30.0) == pytest.approx(math.pi * 100 * 30 / 3000)
    assert CONE.volume_ml(15.0) == pytest.approx(math.pi * 100 * 30 / 3000 / 8)


def test_pieces_add_up() -> None:
    lower = math.pi * 25 * (100 + 60 + 36) / 3000
    upper = math.pi * 35 * (36 + 90 + 225) / 3000

    assert WAIST.volume_ml(25.0) == pytest.approx(lower)
    assert WAIST.volume_ml(60.0) == pytest.approx(lower + upper)


def test_radii_between_the_points_and_beyond_them() -> None:
    assert WAIST.radius_mm(12.5) == pytest.approx(8.0)
    assert WAIST.radius_mm(25.0) == pytest.approx(6.0)
    assert WAIST.radius_mm(70.0) == pytest.approx(15.0 + 10.0 * 9.0 / 35.0)
    assert WAIST.radius_mm(-5.0) == pytest.approx(10.8)
    assert WAIST.slope(40.0) == pytest.approx(9.0 / 35.0)


def test_widest_and_narrowest_see_points_inside_the_range() -> None:
    assert WAIST.narrowest_mm(0.0, 60.0) == pytest.approx(6.0)
    assert WAIST.widest_mm(0.0, 60.0) == pytest.approx(15.0)
    assert WAIST.widest_mm(0.0, 25.0) == pytest.approx(10.0)


def test_below_the_floor_a_volume_is_owed() -> None:
    assert drafted(10.0, 0.0).volume_ml(-2.0) == pytest.approx(-math.pi * 100 * 2 / 1000)


@given(
    radii=st.lists(st.floats(1.0, 60.0), min_size=2, max_size=6),
    step=st.floats(1.0, 40.0),
    share=st.floats(0.0, 1.3),
)
def test_height_inverts_volume(radii: list[float], step: float, share: float) -> None:
    bore = Profile(tuple((k * step, r) for k, r in enumerate(radii)))
    height = share * step * (len(radii) - 1)
    # Beyond its last point a bore that closes has an apex; only what lies below can be filled.
    if bore.radius_mm(height) > 0.5:
        assert bore.height_mm(bore.volume_ml(height)) == pytest.approx(height, abs=1e-6)


@pytest.mark.parametrize(
    "points", [((0.0, 1.0),), ((0.0, 1.0), (0.0, 2.0)), ((5.0, 1.0), (1.0, 1.0))]
)
def test_heights_must_rise(points) -> None:
    with pytest.raises(InternalError, match="rising heights"):
        Profile(points)


@pytest.mark.parametrize("slope", [0.0, 1e-16, -1e-15, 1e-12, -1e-9, 1e-6])
def test_a_wall_that_is_all_but_straight_loses_no_digit(slope: float) -> None:
    """Rounding leaves slopes like these; each height comes back from its volume."""
    bore = Profile(((0.0, 11.0), (2.0, 11.0 + 2.0 * slope)))
    for height in (1.0, 5.0, 80.0):
        assert bore.height_mm(bore.volume_ml(height)) == pytest.approx(height, rel=1e-12)
