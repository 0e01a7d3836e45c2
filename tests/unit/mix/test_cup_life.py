"""How long cups last: the data sheet's own cup, a warm shop, a split, a quick tint."""

from __future__ import annotations

import math

import pytest

from mouldgen.gap.heat import data_sheet, heat_j_kg
from mouldgen.job.load import load_job
from mouldgen.mix.life import cup_life, gel_s
from mouldgen.physics.bands import gel_band


def card(name: str):
    return load_job("boathouse-pegs", sets=[f"resin.card={name}"]).job.resin


def life(gel, **changes):
    given = {
        "mix_g": 200.0, "cup_g": 100.0, "split_s": 0.0, "tint_s": 0.0, "gel_factor": 1.0,
        "reserve_s": None,
    }  # fmt: skip
    return cup_life(gel, **(given | changes))


@pytest.mark.parametrize("name", ["casting-epoxy-slow", "casting-urethane-fast"])
def test_the_data_sheets_cup_gels_when_it_says(name: str) -> None:
    own = card(name)
    assert gel_s(own, shop_c=25.0, mass_g=100.0) == pytest.approx(own.gel, rel=2e-3)


def test_a_seven_minute_urethane_in_a_warm_shop() -> None:
    """At 82 F a pot life of 7 min is about 5.8 min (ten-degree rule, worked by hand)."""
    found = gel_s(card("casting-urethane-fast"), shop_c=(82.0 - 32.0) / 1.8, mass_g=100.0)
    assert found / 60.0 == pytest.approx(5.8, rel=0.03)


def test_a_mass_is_taken_up_to_a_tenth_heavier_never_lighter() -> None:
    own = card("casting-epoxy-slow")
    exact = gel_band(data_sheet(own), 0.123, heat=heat_j_kg(own), air=294.15).low
    heavier = gel_band(data_sheet(own), 0.123 * 1.101, heat=heat_j_kg(own), air=294.15).low
    assert heavier <= gel_s(own, shop_c=21.0, mass_g=123.0) <= exact


def test_bigger_batches_gel_sooner() -> None:
    found = [gel_s(card("casting-epoxy-slow"), shop_c=21.0, mass_g=m) for m in (20, 100, 1000)]
    assert found == sorted(found, reverse=True)


def test_an_unsplit_cup_lives_as_long_as_its_mass() -> None:
    assert life(lambda _: 1000.0).gel_s == pytest.approx(1000.0)
    assert life(lambda _: 1000.0).stop_s == pytest.approx(900.0)  # a tenth kept free
    assert life(lambda _: 1000.0, reserve_s=30.0).stop_s == pytest.approx(970.0)


def test_lives_are_used_up_one_after_another() -> None:
    """A quarter gone in the mix, a tenth untinted, the rest at half the pace's gel time."""
    gel = {200.0: 400.0, 100.0: 1000.0}.__getitem__
    found = life(gel, split_s=100.0, tint_s=200.0, gel_factor=0.5)
    assert found.gel_s == pytest.approx(200.0 + (1.0 - 0.25 - 0.1) * 500.0)


def test_a_split_cup_outlives_the_mix_and_never_its_own_mass() -> None:
    gel = {200.0: 400.0, 100.0: 1000.0}.__getitem__
    for split_s in (1.0, 100.0, 399.0):
        assert 400.0 < life(gel, split_s=split_s, tint_s=split_s).gel_s < 1000.0
    assert life(gel, split_s=500.0, tint_s=600.0).gel_s == 400.0  # gelled before it was split


def test_a_cup_that_never_gels_has_no_end() -> None:
    found = life(lambda _: math.inf, split_s=60.0, tint_s=90.0)
    assert (found.gel_s, found.stop_s) == (math.inf, math.inf)
