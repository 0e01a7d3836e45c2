"""How many moulds the pot takes at once, where sessions are cut by it."""

from __future__ import annotations

import pytest

from mouldgen.answer import answer_job
from mouldgen.job.load import load_job
from mouldgen.sheet.pot_loads import most_per_load


def most(job: str, *sets: str) -> int | None:
    return most_per_load(answer_job(load_job(job, sets=sets).job))


@pytest.mark.parametrize(
    ("job", "number"),
    [
        # 47.6 mm across, 3 mm apart, in 212 mm: a round of 4.25 of their radii.  Thirteen equal
        # discs go into one of 4.236, fourteen need 4.328 (best known packings, from memory).
        ("drawer-knobs", 13),
        ("conference-pens", 1),  # one tray of four pens
        ("apple-toppers", 1),
        ("lamp-finials", 4),  # one rubber mould of four cavities
        ("bell-pulls", None),  # no pot
    ],
)
def test_moulds_of_the_shipped_jobs_in_their_pots(job: str, number: int | None) -> None:
    assert most(job) == number


def test_a_larger_pot_takes_more_and_wider_spacing_fewer() -> None:
    assert most("drawer-knobs", "pot.diameter=305 mm") > 13
    assert most("drawer-knobs", "pot.spacing=12 mm") < 13


def test_tiers_count() -> None:
    assert most("conference-pens", "pot.tiers=2") == 2


def test_where_not_one_fits_the_rule_on_the_pot_says_so_and_not_this() -> None:
    assert most("drawer-knobs", "pot.diameter=50 mm") is None
