"""The contour mould: a cup that follows the outline, on solids."""

import math
from itertools import pairwise

import pytest

from mouldgen.build import build_moulds
from mouldgen.errors import JobError
from mouldgen.job.load import load_job
from mouldgen.solid.kernel import Solid, revolve


def pulls(*sets: str):
    return build_moulds(load_job("sash-pulls", sets=sets).job)


@pytest.fixture(scope="module")
def found():
    return pulls()


def test_it_is_sound_clear_and_prints(found) -> None:
    assert [f.id for f in found.findings if f.severity == "stop"] == []
    assert not [f for f in found.findings if f.rule in ("sound", "clear", "prints")]
    assert [(p.name, p.genus, p.shells) for p in found.parts.parts] == [
        ("body", 0, 1),
        ("lid", found.plan.lid_genus, 1),
    ]
    assert found.plan.lid_genus == 4


def test_volume_against_the_closed_form(found) -> None:
    size = found.answer.size
    mesh_ml = found.parts.cavity.volume_mm3 / 1000.0
    assert 0.0 <= mesh_ml / size.cavity_ml - 1.0 <= 1.05 * 2.0 * 0.01 / (3.0 * size.foot_mm)


def test_it_saves_what_the_closed_form_says(found) -> None:
    """Against a cup whose bore is as wide as the widest place of the contour."""
    size = found.answer.size
    wider = size.widest_mm - found.answer.insert.envelope_mm
    cup = pulls("mould.family=cup", f"mould.gap={wider} mm").answer.size
    assert cup.fill_mm == size.fill_mm
    by_frusta = math.fsum(
        math.pi * (z1 - z0) * (3.0 * size.widest_mm**2 - r0 * r0 - r0 * r1 - r1 * r1) / 3000.0
        for (z0, r0), (z1, r1) in pairwise(size.bore.between(0.0, size.fill_mm))
    )
    assert cup.cavity_ml - size.cavity_ml == pytest.approx(by_frusta, rel=1e-12)
    assert cup.net_ml / size.net_ml > 1.5


def test_the_outline_with_its_allowance_lies_in_the_cavity(found) -> None:
    sizes = found.answer.sizes
    outline = [(sizes.pip_mm + along, r) for along, r in sizes.outline_mm]
    ring = [(r, z) for z, r in outline]
    solid = revolve([(0.0, outline[0][0]), *ring, (0.0, outline[-1][0])], sides=found.plan.sides)
    outside = solid - Solid.of_mesh(found.parts.hollow)
    # Fill line, grooves and pips lie beyond; a roof only widens.
    assert outside.volume_mm3() == pytest.approx(0.0, abs=0.5)
    for z, r in outline:
        assert found.answer.size.bore_mm(z) >= r - 1e-9


def test_wall_is_nowhere_thinner_than_asked(found) -> None:
    size, plan = found.answer.size, found.plan
    body = Solid.of_mesh(found.parts.part("body").assembled)
    # The body without lettering and line has at least its wall: fill the bore and measure out.
    bore = Solid.of_mesh(found.parts.cavity)
    high = size.fill_mm - 1.0
    block = revolve(
        [(0.0, 0.0), (size.across_mm + 9.0, 0.0), (size.across_mm + 9.0, high), (0.0, high)],
        sides=plan.sides,
    )
    outside = (block - body) - bore
    pieces = [p for p in outside.pieces() if p.volume_mm3() > 1000.0]
    assert len(pieces) == 1
    least = pieces[0].least_gap_mm(bore.below(high - 1.0), within_mm=3.0)
    # At an angle of two straight pieces the corner is nearer by what the miter cuts off.
    assert least >= size.wall_mm - 0.011


def test_a_draft_and_a_contour_contradict_each_other() -> None:
    with pytest.raises(JobError, match="draft"):
        pulls("mould.draft=2 deg")
