"""Filament and printing time: sums that can be done by hand."""

from __future__ import annotations

import math

import pytest

from mouldgen.job.load import load_job
from mouldgen.shop.print_time import basis, print_time, print_times
from mouldgen.solid.kernel import box
from tests.demo_set import demo_set, job_with

PRINTER = job_with(printer={"flow": 5.0, "layer": 0.2, "layer_change": 2.0}).printer


def test_a_block_by_hand():
    """24 x 25 x 10 mm: 6000 mm3 at 5 mm3/s are 1200 s, 50 layers of 0.2 mm 100 s more."""
    time = print_time([box((0, 0, 0), (24, 25, 10)).any_mesh()], PRINTER)
    assert (time.volume_mm3, time.layers, time.seconds) == (6000.0, 50, 1300.0)
    # A round strand of 1.75 mm has 2.405 mm2.
    assert time.filament_m == pytest.approx(6000 / 2.40528 / 1000, rel=1e-5)
    assert time.grams(1.27) == pytest.approx(7.62)


def test_two_on_a_bed_share_their_layers():
    low, high = (box((0, 0, 0), (10, 10, h)).any_mesh() for h in (4, 10))
    both = print_time([low, high], PRINTER)
    assert both.layers == 50
    alone = sum(print_time([mesh], PRINTER).seconds for mesh in (low, high))
    assert alone - both.seconds == pytest.approx(20 * 2.0)


def test_a_layer_that_is_only_begun_counts():
    assert print_time([box((0, 0, 0), (5, 5, 10.02)).any_mesh()], PRINTER).layers == 51


def test_a_rounding_begins_no_layer():
    """One step of the mesh's grid over 50 layers, as snapping to it leaves."""
    mesh = box((0, 0, 0), (5, 5, 10.00006)).any_mesh()
    assert mesh.bounds[1][2] > 10.00005
    assert print_time([mesh], PRINTER).layers == 50
    assert print_time([box((0, 0, 0), (5, 5, 10.001)).any_mesh()], PRINTER).layers == 51


def test_the_demos_beds_add_up():
    found = demo_set()
    printer = found.answer.job.printer
    plastic = sum(time.volume_mm3 for time in found.part_times[:2]) * found.answer.moulds
    layers = 0
    for bed in found.beds:
        tallest = max(found.parts.part(item.part).mesh.bounds[1][2] for item in bed.items)
        layers += math.ceil(tallest / printer.layer - 0.0005)
    assert found.print_time.layers == layers
    assert found.print_time.seconds == pytest.approx(plastic / 5.0 + layers * 2.0)
    assert found.print_time.grams(1.27) == pytest.approx(found.filament_g)


def test_without_a_bed_there_is_no_time():
    assert print_times({}, (), PRINTER) is None


def test_flow_and_layer_change_are_the_makers():
    sets = ["printer.flow=10 mm3/s", "printer.layer_change=0 s"]
    printer = load_job("boathouse-pegs", sets=sets).job.printer
    assert (printer.flow, printer.layer_change) == (10.0, 0.0)
    assert "10 mm3/s with 0 s for each layer, which is belief" in basis(printer)
