"""What the trade knows, as inequalities with numbers of our own.  Common practice, no source."""

from itertools import pairwise

import pytest

from mouldgen.gap.air import air
from mouldgen.gap.budget import budget
from mouldgen.gap.findings import findings_of
from mouldgen.gap.push import push
from mouldgen.gap.session import latest_close_s, moulds_per_session
from mouldgen.gap.shut_in import shut_in
from mouldgen.shop.counts import moulds_to_start
from mouldgen.size import size_of
from tests.gap_questions import cup, pour, question, resin, rod, without_take_up

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


@pytest.mark.parametrize("gap_mm", [1.0, 2.0, 3.0])
def test_forty_minutes_of_gel_allow_more_moulds_a_session_than_twenty_five(gap_mm: float) -> None:
    slow, fast = (without_take_up(resin=resin(gel=minutes * 60.0)) for minutes in (40, 25))
    many, few = (moulds_per_session(asked, gap_mm, each_s=90.0) for asked in (slow, fast))

    assert many > few
    close = latest_close_s(slow, gap_mm)
    assert air(without_take_up(pour=pour(close=close))).value_mm <= gap_mm
    assert air(without_take_up(pour=pour(close=close + 2.0))).value_mm > gap_mm
    assert many == int((close - 360.0) // 90.0)


def test_a_gap_too_tight_for_air_allows_no_mould_at_all() -> None:
    assert moulds_per_session(without_take_up(), 0.1, each_s=90.0) == 0
    assert latest_close_s(without_take_up(pour=pour(mix=2500.0)), 3.0) == 0.0


@pytest.mark.parametrize("insert", [ROD_22_60, rod()], ids=["22 mm", "30 mm"])
def test_resin_poured_over_an_insert_in_a_tight_bore_is_advised_against(insert) -> None:
    told = {}
    for sequence in ("insert-first", "resin-first", "bottom-feed"):
        asked = question(insert=insert, pour=pour(sequence=sequence), given_mm=1.0)
        told[sequence] = {f.id for f in findings_of(budget(asked), asked)}

    assert "gap.sequence" in told["insert-first"]
    assert "gap.sequence" not in told["resin-first"] | told["bottom-feed"]


@pytest.mark.parametrize("insert", [ROD_22_60, rod()], ids=["22 mm", "30 mm"])
@pytest.mark.parametrize(
    "of",
    [
        {},
        MEDIUM_EPOXY,
        {"viscosity": 0.3, "gel": 4 * 3600.0},
        {"viscosity": 0.12, "gel": 15 * 60.0},
    ],
    ids=["slow epoxy", "medium epoxy", "deep-pour epoxy", "urethane"],
)
@pytest.mark.parametrize("gap_mm", [0.1, 0.3, 0.5, 1.0, 2.0, 3.0])
def test_resin_poured_over_an_insert_in_a_tight_bore_shuts_in_more_air(
    insert, of, gap_mm: float
) -> None:
    # The capillary limit is 3.26 mm; grooves of 1.5 mm are open from 2.6 mm.
    asked = without_take_up(insert=insert, resin=resin(**of), vent_grooves=3 if gap_mm < 2.5 else 0)
    both = shut_in(asked, gap_mm)

    assert both.on_top.most_ml > 10.0 * both.pushed_ml
    assert both.on_top.most_ml > 0.5
    assert both.pushed_ml < 0.05  # a drop


@pytest.mark.parametrize("insert", [ROD_22_60, rod()], ids=["22 mm", "30 mm"])
def test_in_a_bore_too_tight_for_air_it_does_even_where_the_bridge_breaks_up(insert) -> None:
    for of in ({}, MEDIUM_EPOXY, {"viscosity": 0.12, "gel": 15 * 60.0}):
        asked = without_take_up(insert=insert, resin=resin(**of))
        both = shut_in(asked, 0.9 * air(asked).value_mm)

        assert both.on_top.least_ml > both.pushed_ml
