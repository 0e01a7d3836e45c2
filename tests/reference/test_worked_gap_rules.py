"""Air and push worked for four resins, insert 30 x 70 mm, 20 N in 60 s, twice the height.

A rehearsal with assumed kinetics, worked once by stepping through the equations: it holds the
rules to the formulas, not the formulas to the world.  The resin's density is 1100 kg/m3 and
nothing is taken up; the gel time and the viscosity are those at the shop's temperature.
"""

import pytest

from mouldgen.gap.aging import at_shop
from mouldgen.gap.air import air, smallest_free_bubble_mm
from mouldgen.gap.push import push
from tests.gap_questions import pour, resin, without_take_up

# mixing viscosity [Pa s], gel [min], close [min]: viscosity then, air, smallest bubble, push [mm]
ROWS = {
    "slow epoxy at 21 degC": (0.65, 52, 14, 1.00, 0.46, 0.56, 0.51),
    "slow epoxy at 25 degC": (0.50, 40, 14, 0.95, 0.55, 0.68, 0.51),
    "epoxy with a 25 min gel": (0.80, 25, 14, 3.58, 1.69, 2.07, 0.80),
    "fast urethane": (0.12, 7, 5, 1.51, 2.57, 3.15, 0.59),
}


@pytest.mark.parametrize("name", ROWS)
def test_worked_row(name: str) -> None:
    viscosity, gel, close, then, air_mm, bubble_mm, push_mm = ROWS[name]
    asked = without_take_up(
        resin=resin(viscosity=viscosity, gel=gel * 60.0), pour=pour(close=close * 60.0)
    )
    aged = at_shop(asked.resin, asked.pour)

    assert aged.viscosity_pa_s == pytest.approx(then, abs=0.005)
    assert air(asked).value_mm == pytest.approx(air_mm, abs=0.005)
    assert smallest_free_bubble_mm(70.0, aged) == pytest.approx(bubble_mm, abs=0.005)
    assert push(asked).value_mm == pytest.approx(push_mm, abs=0.005)


def test_the_slow_epoxy_of_the_sheet_is_the_row_at_the_cooler_shop() -> None:
    # 40 min and 0.50 Pa s at 25 degC are 52.8 min and 0.65 Pa s at 21 degC.
    aged = at_shop(resin(), pour(shop=21.0))

    assert aged.gel_s / 60.0 == pytest.approx(52.78, abs=0.005)
    assert air(without_take_up(pour=pour(shop=21.0))).value_mm == pytest.approx(0.46, abs=0.01)
