"""Resin poured on top of an insert, from the job to the second pour."""

import math

import pytest

from mouldgen.build import build_moulds
from tests.demo_set import demo_set, job_with

ROD = {"shape": "rod", "flutes": None, "flute_area": None, "measured": (30.0,) * 22}


def built(sequence: str, **pour):
    return build_moulds(
        job_with(pour={"sequence": sequence, **pour}, mould={"gap": 1.0}, insert=ROD)
    )


def test_a_tight_bore_bridges_and_takes_a_larger_second_pour() -> None:
    first, pushed = built("insert-first"), built("resin-first")
    (bridged,) = [f for f in first.findings if f.id == "pour.bridged"]
    question, gap = first.answer.question, first.answer.size.gap_mm

    # By hand: ring, disc on the pips and three half-round grooves of 1.2 mm, 70 + 2 mm high.
    pip = question.sizes.pip_mm
    bore = math.pi * (15.0 + gap) ** 2 + 3.0 * math.pi * 1.2**2 / 2.0
    air_ml = (bore * (70.0 + pip) - math.pi * 225.0 * 70.0) / 1000.0
    assert bridged.severity == "warn"
    assert bridged.measured == pytest.approx(air_ml, rel=2e-3)
    assert f"up to {bridged.measured:.2f} ml of air" in bridged.message
    # Boyle at 50 psi: 0.227154 of it is left.
    assert f"The pressure leaves {0.227154 * bridged.measured:.2f} ml of it." in bridged.message
    assert first.riser.pockets_ml == pytest.approx((1.0 - 0.227154) * bridged.measured, rel=1e-4)
    assert pushed.riser.pockets_ml < 0.05
    assert first.riser.second_ml > pushed.riser.second_ml + 0.7 * air_ml - pushed.riser.room_ml
    assert first.riser.second_ml > 3.0
    (second,) = [f for f in first.findings if f.id == "pour.second"]
    assert f"Pour {first.riser.second_ml:.1f} ml more" in second.message
    assert "gap.sequence" in {f.id for f in first.findings}


def test_pushed_into_resin_it_shuts_in_nothing_to_tell() -> None:
    ids = {f.id for f in built("resin-first").findings}

    assert not ids & {"pour.bridged", "pour.second", "gap.sequence"}


def test_flutes_keep_the_way_open() -> None:
    found = build_moulds(job_with(pour={"sequence": "insert-first"}, mould={"gap": 1.0}))

    assert "pour.bridged" not in {f.id for f in found.findings}
    assert found.riser.pockets_ml == demo_set().riser.pockets_ml


def test_without_a_pot_bridged_air_stays_and_nothing_sinks() -> None:
    found = built("insert-first", pressure=None)
    (bridged,) = [f for f in found.findings if f.id == "pour.bridged"]

    assert "The pressure leaves" not in bridged.message
    assert found.riser.pockets_ml == 0.0
