"""Any mould in any pot: every load passes shapely's check, none is lost, loads are even."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mouldgen.errors import NoAnswerError
from mouldgen.job.shop_tables import Pot
from mouldgen.layout.pot import PotTier, plan_pot, tiers_in
from mouldgen.layout.pot_mould import PotMould
from mouldgen.packing.discs_table import most_discs_in_circle
from mouldgen.packing.shapes import Disc, Placed, Rectangle, RoundBed
from mouldgen.packing.verify import verify_plates
from mouldgen.sheet.pot_picture import pot_svg

ROUNDS = st.builds(lambda r, h: PotMould("mould", Disc(r), 2 * r, h), st.floats(12, 110),
                   st.floats(20, 240))  # fmt: skip
BOXES = st.builds(
    lambda w, d, h: PotMould("mould", Rectangle(w, d), math.hypot(w, d), h),
    st.floats(35, 200), st.floats(35, 200), st.floats(20, 240),
)  # fmt: skip


@st.composite
def pots(draw: st.DrawFn) -> Pot:
    keys = {
        "diameter": draw(st.floats(150, 320)),
        "margin": draw(st.sampled_from([0.0, 8.0, 11.3])),
        "spacing": draw(st.sampled_from([0.0, 3.0, 4.7])),
        "tiers": draw(st.integers(1, 4)),
        "shelf": draw(st.sampled_from([2.0, 5.0])),
    }
    return Pot(diameter="200 mm", height="230 mm").model_copy(update=keys)


def verified(tier: PotTier, pot: Pot) -> None:
    middle = pot.diameter / 2
    placed = [
        Placed(i, place.x_mm + middle, place.y_mm + middle, place.turned)
        for i, place in enumerate(tier.places)
    ]
    verify_plates(
        [place.shape for place in tier.places],
        RoundBed(pot.diameter),
        [placed],
        margin_mm=pot.margin,
        spacing_mm=pot.spacing,
    )


@settings(max_examples=60, deadline=None)
@given(
    mould=st.one_of(ROUNDS, BOXES),
    pot=pots(),
    moulds=st.integers(1, 45),
    there=st.integers(1, 45),
    shown=st.booleans(),
)
def test_any_order_is_loaded(
    mould: PotMould, pot: Pot, moulds: int, there: int, shown: bool
) -> None:
    free = pot.diameter - 2 * pot.margin
    if mould.across_mm > free + 1e-5 or mould.height_mm > pot.usable_mm + 1e-5:
        with pytest.raises(NoAnswerError, match=r"the pot (leaves|takes)"):
            plan_pot(mould, pot=pot, moulds=moulds, at_once=there)
        return
    plan = plan_pot(mould, pot=pot, moulds=moulds, at_once=there, first_alone=shown)

    assert plan is not None
    assert [n for load in plan.loads for n in load.numbers] == list(range(1, moulds + 1))
    sizes = [load.moulds for load in plan.loads]
    alone = int(shown and moulds > 1)
    assert sizes[:alone] == [1] * alone
    assert max(sizes[alone:]) - min(sizes[alone:]) <= 1
    assert max(sizes) <= min(plan.per_load, there)
    assert len(sizes) == alone + math.ceil((moulds - alone) / plan.per_load)
    for load in plan.loads:
        assert len(load.tiers) <= tiers_in(pot, mould.height_mm)
        high = load.tiers[-1].stands_mm + load.tiers[-1].height_mm
        assert high + load.left_mm == pytest.approx(pot.usable_mm)
        assert load.left_mm >= -1e-5
        for tier in load.tiers:
            verified(tier, pot)
    again = plan_pot(mould, pot=pot, moulds=moulds, at_once=there, first_alone=shown)
    assert again is not None
    assert [pot_svg(plan, load, title="t") for load in plan.loads] == [
        pot_svg(again, load, title="t") for load in again.loads
    ]


@settings(max_examples=200, deadline=None)
@given(disc=st.floats(20, 120), across=st.floats(100, 320), spacing=st.floats(0, 6))
def test_counts_grow_with_the_pot_and_shrink_with_the_mould(
    disc: float, across: float, spacing: float
) -> None:
    count = most_discs_in_circle(disc, across, spacing_mm=spacing)

    assert most_discs_in_circle(disc, across + 5, spacing_mm=spacing) >= count
    assert most_discs_in_circle(disc + 1, across, spacing_mm=spacing) <= count
    assert most_discs_in_circle(disc, across, spacing_mm=spacing + 1) <= max(count, 1)
    # No packing is denser than the plane's (Thue), with the circle grown by half the spacing.
    assert count * (disc + spacing) ** 2 * math.pi / math.sqrt(12) <= (across + spacing + disc) ** 2
