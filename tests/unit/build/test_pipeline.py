"""The pipeline: what depends on what, and that it travels between processes."""

from __future__ import annotations

import pickle

import numpy as np
import pytest

from mouldgen.build import build_moulds
from mouldgen.job.load import load_job
from mouldgen.memo import Memo, digest
from tests.demo_set import changed_set, demo_set, job_with


def test_the_demo_in_numbers() -> None:
    """18 pegs at 92 % and 95 % are 22 moulds; the gap is set by air."""
    found = demo_set()
    assert found.answer.moulds == 22
    assert (found.answer.gap.gap_mm, found.answer.gap.set_by) == (0.88, "air")
    assert found.measured_least_mm >= found.answer.gap.gap_mm - 0.001
    assert [f.id for f in found.findings if f.severity == "stop"] == []
    assert [f.id for f in found.findings if f.severity == "warn"] == ["gap.habit"]
    assert len(found.beds) == 3


def test_filament_is_the_solid_volume_of_all_moulds() -> None:
    found = demo_set()
    volume = sum(part.mesh.volume_mm3 for part in found.parts.parts) / 1000.0
    density = found.answer.job.plastic.density
    assert found.filament_g == pytest.approx(volume * density * 22, rel=1e-12)


def test_findings_come_worst_first() -> None:
    order = [f.severity for f in changed_set("piece.length=79 mm").findings]
    assert order == sorted(order, key=["stop", "warn", "note"].index)
    assert order[0] == "stop"


def test_a_change_that_shapes_nothing_builds_no_solid() -> None:
    memo = Memo()
    build_moulds(job_with(), memo=memo)
    assert (memo.hits, memo.misses) == (0, 5)
    build_moulds(job_with(resin={"loss": 0.2}, shop={"scale": 0.1}), memo=memo)
    assert (memo.hits, memo.misses) == (5, 5)
    build_moulds(job_with(order={"pieces": 18, "confidence": 0.9501}), memo=memo)
    assert memo.misses == 5
    build_moulds(job_with(mould={"gap": 1.5}), memo=memo)
    assert memo.misses == 10


def test_memo_is_bounded_and_keeps_the_newest() -> None:
    memo = Memo(most=2)
    calls = []

    def step(value: int) -> int:
        calls.append(value)
        return value * 2

    assert [memo.step(step, v) for v in (1, 2, 1, 3, 1, 2)] == [2, 4, 2, 6, 2, 4]
    assert calls == [1, 2, 3, 2]


def test_digest_tells_values_apart() -> None:
    different = [
        None, True, 1, 1.0, "1", b"1", (1,), ((1,),), (1, 2), ("12",), ("1", "2"), {"a": 1},
        {"a": 2}, {"b": 1}, np.array([1.0]), np.array([1], np.float32), np.array([[1.0]]),
    ]  # fmt: skip
    assert len({digest(value) for value in different}) == len(different)
    assert digest({"a": 1, "b": 2}) == digest({"b": 2, "a": 1})
    assert digest(job_with()) == digest(job_with())
    assert digest(job_with()) != digest(job_with(shop={"scale": 0.01}))
    with pytest.raises(TypeError, match="no canonical form for a object"):
        digest(object())


def test_parts_and_beds_pickle() -> None:
    found = demo_set()
    for value in (found.parts, found.plan, found.beds, found.findings, found.amounts):
        back = pickle.loads(pickle.dumps(value))
        assert digest(back) == digest(value)


def test_a_bed_that_is_too_small_for_the_makers_gap_is_a_finding() -> None:
    found = changed_set("mould.gap=95 mm", "pot.card=pot-305")
    ids = [f.id for f in found.findings if f.severity == "stop"]
    assert "beds.no-room" in ids
    assert "gap.fits" in ids
    assert found.beds == ()


def test_keys_without_a_rule_yet_are_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """No key of today's jobs is one; the next that is added may be, for a while."""
    monkeypatch.setattr("mouldgen.job.later._LATER", frozenset({"order.due"}))
    loaded = load_job("boathouse-pegs")
    found = build_moulds(loaded.job, given=loaded.given).findings
    notes = [f.place for f in found if f.id.startswith("job.not-used-yet")]
    assert notes == ["order.due"]


def test_an_insert_that_sinks_needs_no_holding() -> None:
    lifts, sinks = (changed_set(f"insert.density={d} g/ml") for d in (0.68, 1.3))
    (note,) = [f for f in lifts.findings if f.rule == "held"]
    # Archimedes by hand: (1.0733 - 0.68) g/ml on 39.58 ml is 15.6 g, 0.153 N.
    assert note.measured == pytest.approx((1.07333 - 0.68) * 39.584 * 9.80665e-3, rel=1e-4)
    assert "floats up with 16 g" in note.message
    (note,) = [f for f in sinks.findings if f.rule == "held"]
    assert "The insert sinks" in note.message
