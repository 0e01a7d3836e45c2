"""Faults planted in a sound mould: an insert that stands where plastic is, or touches nothing."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

import pytest

from mouldgen.build import build_moulds
from mouldgen.check.clear import TOUCH_MM3, Clearance, clear
from mouldgen.mould_set import MouldSet
from mouldgen.solid.kernel import Solid
from tests.demo_set import job_with

PIPS, LEGS = "pips", "legs"


@cache
def sound() -> MouldSet:
    rod = {"shape": "rod", "diameter": 22.0, "flutes": None, "flute_area": None, "measured": ()}
    job = job_with(
        insert=rod,
        piece={"diameter": 16.0, "length": 50.0},
        mould={"gap": 2.0, "lettering": False},
    )
    return build_moulds(job)


def raised(by_mm: float) -> Clearance:
    found = sound()
    insert = Solid.of_mesh(found.parts.insert).moved(z=by_mm).any_mesh()
    parts = replace(found.parts, insert=insert)
    return clear(parts, found.plan, piece=found.answer.job.piece)


def under(name: str) -> float:
    """Level area of what the insert stands on, or is pressed on by [mm2]."""
    return math.fsum(math.pi * r * r for _, _, r in getattr(sound().plan, name))


def test_where_it_belongs_nothing_is_wrong() -> None:
    assert raised(0.0).findings == ()


@pytest.mark.parametrize(("by_mm", "place", "standing"), [(0.2, "lid", LEGS), (-0.3, "body", PIPS)])
def test_an_insert_in_the_plastic_shares_what_the_rounds_there_hold(
    by_mm: float, place: str, standing: str
) -> None:
    shared = under(standing) * abs(by_mm)
    assert 2.0 * TOUCH_MM3 < shared < 50.0
    found = {finding.id: finding for finding in raised(by_mm).findings}
    told = found[f"clear.insert-{place}"]
    assert (told.severity, told.place) == ("stop", place)
    # Rounds are drawn around their circles: 2 t/3R more, and a chord of them is 0.01 mm.
    assert told.measured == pytest.approx(shared, rel=0.01)


def test_a_film_as_thick_as_files_are_rounded_is_no_fault() -> None:
    """Half a cubic millimetre over the legs is less than a layer of any printer."""
    by_mm = 0.5 * TOUCH_MM3 / under(LEGS)
    assert by_mm < 0.05
    assert "clear.insert-lid" not in {finding.id for finding in raised(by_mm).findings}


def test_an_insert_that_hangs_low_is_not_held() -> None:
    (told,) = (f for f in raised(-0.3).findings if f.id == "clear.legs")
    assert told.measured == pytest.approx(0.3, abs=0.001)
