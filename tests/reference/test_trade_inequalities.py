"""What the trade knows, as inequalities with numbers of our own.  Common practice, no source."""

from itertools import pairwise

import pytest

from mouldgen.gap.air import air
from mouldgen.gap.push import push
from mouldgen.shop.counts import moulds_to_start
from mouldgen.size.cup import size_of
from tests.gap_questions import cup, pour, resin, rod, without_take_up

MEDIUM_EPOXY = {"viscosity": 0.80, "gel": 25 * 60.0}
ROD_22_60 = rod(envelope_mm=11.0, core_mm=11.0, section_mm2=380.1327110843649, length_mm=60.0)


@pytest.mark.parametrize("close_min", [8, 10, 14])
@pytest.mark.parametrize("rule", [air, push])
def test_a_bore_just_wider_than_the_rod_voids_some_castings(rule, close_min: int) -> None:
    # 0.15 mm wider in diameter, a rod of 22 x 60 mm, an epoxy that gels in 25 minutes.
    asked = without_take_up(
        insert=ROD_22_60, resin=resin(**MEDIUM_EPOXY), pour=pour(close=close_min * 60.0)
    )

    assert rule(asked).value_mm > 0.15 / 2.0


def test_a_wider_gap_costs_resin() -> None:
    net = [size_of(cup(ROD_22_60), gap / 20.0).net_ml for gap in range(1, 101)]

    assert all(wider > narrower for narrower, wider in pairwise(net))


def test_about_a_fifth_more_moulds_than_pieces_are_started() -> None:
    moulds = moulds_to_start(18, yield_=0.92, confidence=0.95)

    assert moulds == 22
    assert 1.15 < moulds / 18 < 1.25
