"""The gap measured on the solids is the gap asked for, whatever the tolerance and the draft."""

from __future__ import annotations

import math

import pytest

from mouldgen.answer import answer_job
from mouldgen.build import build_moulds
from tests.demo_set import job_with

MICROMETRE = 0.001


@pytest.mark.parametrize("draft", [0.0, 0.5, 1.0, 3.0])
@pytest.mark.parametrize("chord", [0.2, 0.05, 0.01, 0.002])
@pytest.mark.parametrize("shape", ["rod", "flute"])
def test_never_below_nominal_by_a_micrometre(chord: float, draft: float, shape: str) -> None:
    job = job_with(
        mould={"chord": chord, "draft": draft, "gap": 1.3, "lettering": False},
        insert={"shape": shape},
    )
    found = build_moulds(job)
    wanted = 1.3 * math.cos(math.radians(draft))
    assert found.measured_least_mm >= wanted - MICROMETRE
    # Nor wider than the polygons explain: half a side of the insert plus half one of the bore.
    assert found.measured_least_mm <= wanted + 2.0 * chord + MICROMETRE
    assert [f.id for f in found.findings if f.rule == "clear"] == []


def test_bar_is_measured_from_its_enclosing_circle() -> None:
    job = job_with(
        insert={
            "shape": "bar", "diameter": None, "width": 24.0, "thickness": 18.0,
            "flutes": None, "flute_area": None, "measured": (),
        },
        mould={"gap": 1.5},
    )  # fmt: skip
    assert answer_job(job).insert.envelope_mm == 15.0
    assert build_moulds(job).measured_least_mm == pytest.approx(1.5, abs=0.02)


def test_a_gap_that_is_not_there_is_found() -> None:
    """The check must be able to fail: hold a wider gap against the mould that was made."""
    import dataclasses

    from mouldgen.check.clear import clear

    found = build_moulds(job_with(mould={"gap": 1.3}))
    job = found.answer.job
    wider = dataclasses.replace(found.plan, size=dataclasses.replace(found.plan.size, gap_mm=1.31))
    result = clear(found.parts, wider, piece=job.piece)
    assert [f.id for f in result.findings] == ["clear.gap"]
    assert result.findings[0].severity == "stop"
