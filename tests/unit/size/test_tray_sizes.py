"""A tray in closed form: pockets, levels and outside, against the mesh and against the trade."""

from __future__ import annotations

import math

import pytest

from mouldgen.answer import answer_job
from mouldgen.errors import JobError
from mouldgen.job.load import load_job
from mouldgen.mould.tray_solids import pocket
from mouldgen.size.tray import TraySize, height_for_mm, pocket_ml, tray_size_of

JOB = "conference-pens"
PLAIN = ("mould.gap=1.1 mm", "mould.draft=0 deg")


def tray(*sets: str) -> TraySize:
    size = answer_job(load_job(JOB, sets=list(sets)).job).size
    assert isinstance(size, TraySize)
    return size


@pytest.mark.parametrize("draft", [0.0, 0.5, 1.0, 3.0])
@pytest.mark.parametrize("height", [0.01, 2.0, 20.0, 90.0])
def test_the_volume_of_a_pocket_is_that_of_its_frustum(draft, height):
    """A block by Simpson's rule: exact for areas that are quadratic in the height."""
    slope = math.tan(math.radians(draft))
    foot = (20.0, 140.0)

    def area(z: float) -> float:
        return (foot[0] + 2.0 * slope * z) * (foot[1] + 2.0 * slope * z)

    simpson = height * (area(0.0) + 4.0 * area(height / 2.0) + area(height)) / 6000.0
    assert pocket_ml(foot, slope, height) == pytest.approx(simpson, rel=1e-12)
    assert height_for_mm(foot, slope, simpson) == pytest.approx(height, rel=1e-11)


@pytest.mark.parametrize("draft", ["0 deg", "1 deg", "4 deg"])
def test_the_closed_form_is_the_mesh(draft):
    """No side of a pocket is round: only the grid that meshes lie on is between them."""
    size = tray("mould.gap=1.1 mm", f"mould.draft={draft}")
    mesh = pocket(size, top_mm=size.fill_mm).any_mesh()
    assert mesh.volume_mm3 / 1000.0 == pytest.approx(size.cavity_ml, rel=3e-6)
    assert pocket(size, top_mm=size.level_mm).volume_mm3() / 1000.0 == pytest.approx(
        size.cavity_ml + size.riser_ml, rel=1e-12
    )


def test_cells_of_the_trade_hold_what_the_trade_says():
    """20 x 20 x 140 mm with 7 % solids: net 52.1 ml (common practice, no source)."""
    size = tray(*PLAIN)
    assert size.foot_mm == pytest.approx((19.99, 140.0), abs=0.02)
    assert size.cavity_ml == pytest.approx(56.0, abs=0.06)
    assert size.net_ml == pytest.approx(52.1, abs=0.06)
    # 44 pieces at 1.10 g/ml with 12 % loss are 2.82 kg (the same).
    assert 44 * size.net_ml * 1.10 * 1.12 / 1000.0 == pytest.approx(2.82, abs=0.005)


def test_the_draft_that_lets_go_costs_so_much_resin():
    """1 degree widens a cell of 20 x 140 mm, asked for at the pips, by 0.28 mm on average."""
    straight, drafted = tray(*PLAIN), tray("mould.gap=1.1 mm")
    assert drafted.slope == pytest.approx(math.tan(math.radians(1.0)))
    mean = 2.0 * drafted.slope * (20.0 / 2.0 - 2.0)
    assert drafted.net_ml - straight.net_ml == pytest.approx(mean * 160.0 * 20.0 / 1000.0, rel=0.01)


@pytest.mark.parametrize(
    ("cells", "sides", "diagonal"),
    [("[1, 4]", (108.0, 150.0), 185.0), ("[1, 6]", (160.0, 150.0), 219.0)],
)
def test_a_tray_is_as_large_as_the_trades(cells, sides, diagonal):
    """With walls, 4-up 108 x 150 and 6-up 160 x 150 mm (common practice, no source)."""
    size = tray(*PLAIN, f"mould.cells={cells}", "pot.diameter=400 mm")
    assert size.body_mm == pytest.approx(sides, abs=0.6)
    assert 2.0 * size.across_mm == pytest.approx(diagonal, abs=0.6)


@pytest.mark.parametrize("cells", ["[1, 1]", "[1, 4]", "[2, 2]", "[3, 2]"])
@pytest.mark.parametrize("draft", ["0 deg", "1 deg", "6 deg"])
def test_a_wall_stays_everywhere_up_to_the_deck(cells, draft):
    sets = [f"mould.cells={cells}", f"mould.draft={draft}", "mould.gap=2 mm"]
    size = tray(*sets, "pot.diameter=900 mm", "printer.width=900 mm", "printer.depth=900 mm")
    width, length = size.pocket_mm(size.deck_mm)
    assert size.pitch_mm[0] - width >= size.wall_mm - 1e-9
    assert size.pitch_mm[1] - length >= size.wall_mm - 1e-9
    across, along = (max(place) for place in zip(*size.places, strict=True))
    assert size.body_mm[0] / 2.0 - across - width / 2.0 >= 2.0 * size.wall_mm - 1e-9
    assert size.body_mm[1] / 2.0 - along - length / 2.0 >= 2.0 * size.wall_mm - 1e-9


def test_the_order_of_heights():
    size = tray()
    q = answer_job(load_job(JOB).job).sizes
    assert q.insert_top_mm < size.fill_mm < size.level_mm < size.deck_mm < size.rim_mm
    # The lid stands clear of the deck, so that air leaves, and proud of the rim, to be pressed on.
    assert size.lid_foot_mm >= 3.0 - 1e-9
    assert size.stack_height_mm == pytest.approx(size.body_height_mm + 1.0, abs=0.2)


def test_lifting_tabs_stand_within_the_round_that_the_pot_sees():
    for cells in ("[1, 1]", "[1, 4]", "[2, 4]"):
        size = tray(f"mould.cells={cells}", "pot.diameter=900 mm", "printer.width=600 mm",
                    "printer.depth=600 mm")  # fmt: skip
        if size.ear_mm:
            tip = size.body_mm[1] / 2.0 + size.ear_mm
            assert math.hypot(10.0, tip) <= size.across_mm + 1e-9


def test_a_lying_insert_is_covered():
    with pytest.raises(JobError, match=r"\[mould\] fill.*leaves a lying insert bare.*19\.1"):
        tray("mould.fill=15 mm")


def test_a_draft_that_closes_the_pocket_is_refused():
    found = answer_job(load_job(JOB, sets=["insert.width=12 mm", "mould.fill=20 mm"]).job)
    with pytest.raises(JobError, match="closes the pocket at the floor"):
        tray_size_of(found.sizes, -20.0)
