import math

import numpy as np
import pytest

from mouldgen.errors import InternalError
from mouldgen.insert.section import radii


def test_a_rectangle_in_closed_form() -> None:
    corners = ((10.0, 7.0), (-10.0, 7.0), (-10.0, -7.0), (10.0, -7.0))
    angle = 2.0 * math.pi * np.arange(360) / 360
    with np.errstate(divide="ignore"):
        expected = np.minimum(10.0 / abs(np.cos(angle)), 7.0 / abs(np.sin(angle)))

    assert radii(corners, steps=360) == pytest.approx(expected, rel=1e-12)


def test_a_round_of_many_corners() -> None:
    turn = 2.0 * math.pi * np.arange(500) / 500
    corners = tuple((3.0 * math.cos(t), 3.0 * math.sin(t)) for t in turn)

    assert radii(corners, steps=77) == pytest.approx(3.0, rel=2e-5)  # 1 - cos(pi/500)


def test_a_ray_through_a_corner_meets_it() -> None:
    diamond = ((1.0, 0.0), (0.0, 2.0), (-1.0, 0.0), (0.0, -2.0))

    assert radii(diamond, steps=4) == pytest.approx([1.0, 2.0, 1.0, 2.0])


def test_an_axis_outside_of_the_section_is_refused() -> None:
    with pytest.raises(InternalError, match="the axis is not inside"):
        radii(((5.0, 1.0), (4.0, 1.0), (4.0, -1.0), (5.0, -1.0)), steps=8)
