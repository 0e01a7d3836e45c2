"""Faults planted in a sound mould: an insert that stands where plastic is, or touches nothing."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest

from mouldgen.build import build_moulds
from mouldgen.check.clear import TOUCH_MM3, Clearance, clear
from mouldgen.mould_set import MouldSet
from mouldgen.solid.kernel import Solid, box
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


@cache
def in_cells() -> MouldSet:
    return build_moulds(job_with(mould={"family": "block", "cells": (2, 3)}))


def planted(name: str, change: Callable[[Solid], Solid]) -> Clearance:
    """The block looked at with another body or lid."""
    found = in_cells()
    parts = tuple(
        replace(p, assembled=change(Solid.of_mesh(p.assembled)).any_mesh()) if p.name == name else p
        for p in found.parts.parts
    )
    return clear(replace(found.parts, parts=parts), found.plan, piece=found.answer.job.piece)


def test_a_block_is_sound_in_all_its_cells() -> None:
    assert planted("body", lambda body: body).findings == ()


@pytest.mark.parametrize("cell", range(6))
def test_a_lump_in_one_cell_of_many_is_found(cell: int) -> None:
    x, y = in_cells().parts.places[cell]
    lump = box((x - 2, y - 2, 30), (x + 2, y + 2, 34))
    found = planted("body", lambda body: body + lump).findings
    told = {finding.id: finding.measured for finding in found}
    assert told == {
        "clear.insert-body": pytest.approx(64.0, abs=1e-3),
        "clear.outline-body": pytest.approx(64.0, abs=1e-3),
    }


@pytest.mark.parametrize("cell", [0, 3, 5])
@pytest.mark.parametrize("raised_mm", [0.5, 7.5])
def test_an_insert_that_one_cells_legs_do_not_reach_is_found(cell: int, raised_mm: float) -> None:
    found = in_cells()
    (x, y), top = found.parts.places[cell], found.parts.insert.bounds[1][2]
    reach = found.plan.size.pitch_mm / 2.0
    low = box((x - reach, y - reach, top - 5.0), (x + reach, y + reach, top + raised_mm))
    (told,) = planted("lid", lambda lid: lid - low).findings
    assert told.id == "clear.legs"
    assert told.measured == pytest.approx(raised_mm, abs=0.001)


def test_an_insert_that_hangs_low_is_not_held() -> None:
    (told,) = (f for f in raised(-0.3).findings if f.id == "clear.legs")
    assert told.measured == pytest.approx(0.3, abs=0.001)
