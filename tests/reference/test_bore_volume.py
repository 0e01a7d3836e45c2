"""The bore's volume on the mesh against its closed form, and the anchors of the demo.

Circumscribed polygon: ``A_n / A = n tan(pi/n) / pi``, so with a chord tolerance t the volume is
too large by at most ``2 t / (3 R)`` to leading order (geometry; the tolerance 1.05 is for the
next order).
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from mouldgen.answer import answer_job
from mouldgen.cavity.bare import bare_cavity
from mouldgen.size import size_of
from mouldgen.solid.circle import segments
from tests.demo_set import changed_set, job_with


def excess(chord: float, *, radius: float, height: float, draft: float = 0.0) -> float:
    job = job_with(mould={"fill": height, "draft": draft, "gap": radius - 15.0})
    size = answer_job(job).size
    mesh = bare_cavity(size, sides=segments(radius, chord_mm=chord), top_mm=height).any_mesh()
    return mesh.volume_mm3 / 1000.0 / size.cavity_ml - 1.0


@pytest.mark.parametrize("radius", [15.6, 17.0, 26.0])
@pytest.mark.parametrize("chord", [0.2, 0.05, 0.01])
def test_excess_stays_within_its_bound(chord: float, radius: float) -> None:
    found = excess(chord, radius=radius, height=80.0)
    assert 0.0 < found <= 1.05 * 2.0 * chord / (3.0 * radius)


def test_excess_falls_in_proportion_to_the_tolerance() -> None:
    """Log-log slope 1; averaged over radii, because the count of sides is a whole number."""
    chords = np.array([0.2, 0.1, 0.05, 0.02, 0.01, 0.005])
    radii = np.linspace(15.5, 30.0, 12)
    mean = [np.mean([excess(t, radius=r, height=80.0) * r for r in radii]) for t in chords]
    slope = np.polyfit(np.log(chords), np.log(mean), 1)[0]
    assert slope == pytest.approx(1.0, abs=0.05)


@pytest.mark.parametrize(
    ("gap", "cavity", "net"),
    # The scenario of the demo, worked by hand: pi 16^2 80 and pi 17^2 80 mm3, less wood of
    # 0.8 pi 15^2 70 = 39.58 ml.
    [("1 mm", 64.3, 24.8), ("2 mm", 72.6, 33.0)],
)
def test_anchors_of_the_coat_pegs(gap: str, cavity: float, net: float) -> None:
    size = changed_set(f"mould.gap={gap}").answer.size
    assert size.insert_ml == pytest.approx(39.6, abs=0.05)
    assert size.cavity_ml == pytest.approx(cavity, abs=0.05)
    assert size.net_ml == pytest.approx(net, abs=0.051)  # 33.05 is told as 33.0


def test_frustum_against_a_numeric_integral() -> None:
    answer = answer_job(job_with(mould={"fill": 80.0, "draft": 3.0, "gap": 1.0}))
    size = answer.size
    z = np.linspace(0.0, 80.0, 20001)
    area = math.pi * (size.foot_mm + math.tan(math.radians(3.0)) * z) ** 2
    assert size.cavity_ml == pytest.approx(np.trapezoid(area, z) / 1000.0, rel=1e-7)
    assert size.bore_mm(2.0) == pytest.approx(16.0)  # the gap is asked for at the insert's foot
    assert size_of(answer.sizes, 2.0).foot_mm - size.foot_mm == pytest.approx(1.0)
