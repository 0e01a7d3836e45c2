"""A block in closed form: bores, walls between them, and what it covers."""

from __future__ import annotations

import math

import pytest

from mouldgen.answer import answer_job
from mouldgen.job.load import load_job
from mouldgen.size.block import BlockSize

JOB = "boathouse-pegs"


def block(*sets: str) -> BlockSize:
    own = ["mould.family=block", "mould.cells=[2, 3]", *sets]
    size = answer_job(load_job(JOB, sets=own).job).size
    assert isinstance(size, BlockSize)
    return size


def test_each_bore_is_the_cups():
    cup, size = answer_job(load_job(JOB).job).size, block()
    for key in ("gap_mm", "fill_mm", "level_mm", "rim_mm", "cavity_ml", "insert_ml", "riser_ml"):
        assert getattr(size, key) == getattr(cup, key), key
    assert (size.blanks, size.bore.points) == (6, cup.bore.points)


@pytest.mark.parametrize("grooves", [0, 3])
@pytest.mark.parametrize("draft", ["0 deg", "1 deg"])
@pytest.mark.parametrize("line", [0.42, 0.6])
def test_walls_between_bores_are_whole_lines(grooves, draft, line):
    size = block(f"mould.vent_grooves={grooves}", f"mould.draft={draft}", f"printer.line={line} mm")
    lines = size.between_mm / line
    assert lines == pytest.approx(round(lines), abs=1e-3)
    widest = size.bore.widest_mm(0.0, size.rim_mm)
    assert size.pitch_mm == pytest.approx(2.0 * widest + size.between_mm, rel=1e-12)
    # Two vent grooves of 1.2 mm that face each other leave a whole wall.
    assert size.between_mm - 2.0 * (1.2 if grooves else 0.0) >= size.wall_mm - 1e-9


def test_what_it_covers():
    size = block()
    places = size.places
    assert len(set(places)) == 6
    assert places[0] == (-size.pitch_mm, size.pitch_mm / 2.0)  # the back row's left one
    assert places[5] == (size.pitch_mm, -size.pitch_mm / 2.0)
    assert size.sides_mm[1] == pytest.approx(size.pitch_mm + 2.0 * size.lid_reach_mm)
    half = math.hypot(2.0 * size.pitch_mm, size.pitch_mm) / 2.0 + size.lid_reach_mm
    assert size.across_mm == pytest.approx(half)
    tab = size.pitch_mm + size.reach_mm + size.ear_mm
    assert size.ear_mm > 2.0
    assert math.hypot(tab, 6.0) <= size.across_mm + 1e-9


def test_a_single_bore_is_as_wide_as_a_cup():
    cup, size = answer_job(load_job(JOB).job).size, block("mould.cells=[1, 1]")
    assert (size.across_mm, size.ear_mm) == (cup.across_mm, 0.0)
