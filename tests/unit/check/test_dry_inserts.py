"""Is the insert dry enough for its resin?  Limits are the cards'; sources conflict."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from mouldgen.answer import answer_job
from mouldgen.check.dry import dry_enough
from mouldgen.errors import JobError
from mouldgen.finding import Finding
from mouldgen.job.load import load_job

PAGE = Path(__file__).parents[3] / "docs" / "what-is-checked.md"
URETHANE, EPOXY = "casting-urethane-fast", "casting-epoxy-slow"
JOB = "boathouse-pegs"  # its wood is white ash


def found(resin: str, *sets: str) -> tuple[Finding, ...]:
    answer = answer_job(load_job(JOB, sets=(f"resin.card={resin}", *sets)).job)
    return dry_enough(answer.job.insert, answer.job.resin, facts=answer.insert)


@pytest.mark.parametrize(
    ("resin", "moisture", "severity", "most"),
    [(URETHANE, 0.021, "stop", 0.02), (EPOXY, 0.121, "warn", 0.12)],
)
def test_above_the_cards_limit(resin: str, moisture: float, severity: str, most: float) -> None:
    (told,) = found(resin, f"insert.moisture={moisture}")
    assert (told.id, told.severity, told.place) == ("insert.wet", severity, "[insert] moisture")
    assert (told.measured, told.limit) == (moisture, most)
    assert f"{100 * moisture:.3g} %" in told.message
    # Where the limit is below what a pocket meter reads, its reading says nothing.
    assert ("pocket meter" in told.message) == (most < 0.06)
    assert found(resin, f"insert.moisture={most}") == ()
    assert found(resin, f"insert.moisture={moisture}", f"resin.most_moisture={moisture}") == ()


def test_constant_weight_goes_before_what_a_meter_says() -> None:
    assert found(URETHANE, "insert.moisture=0.3", "insert.constant_weight=true") == ()


def test_only_a_urethane_asks_for_what_is_not_told() -> None:
    (told,) = found(URETHANE)
    assert (told.id, told.severity) == ("insert.dryness", "note")
    assert "constant weight" in told.message
    assert "pocket meter that stops at 6 %" in told.message
    assert found(EPOXY) == ()


def test_what_is_denser_than_cell_wall_is_no_wood() -> None:
    """Cell wall: 1.5 (the Wood Handbook has 1.54)."""
    assert found(URETHANE, "insert.density=1.6 g/ml") == ()
    assert len(found(URETHANE, "insert.density=1.4 g/ml")) == 1


def test_a_moisture_that_no_card_judges_is_told_of() -> None:
    job = load_job(JOB, sets=("insert.moisture=0.3",)).job
    answer = answer_job(job)
    resin = job.resin.model_copy(update={"most_moisture": None})
    (told,) = dry_enough(job.insert, resin, facts=answer.insert)
    assert (told.id, told.severity, told.place) == (
        "insert.dryness", "note", "[resin] most_moisture",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("moisture", "says"),
    [
        ("8", r"\[insert\] moisture: 8 does not fit.*at least 0 and at most 1"),
        ("-0.1", r"\[insert\] moisture: -0\.1 does not fit"),
        ("8 %", r"\[insert\] moisture: .8 %. does not fit here"),
    ],
)
def test_a_moisture_that_is_no_share_is_refused(moisture: str, says: str) -> None:
    with pytest.raises(JobError, match=says):
        load_job(JOB, sets=(f"insert.moisture={moisture}",))


def test_the_page_has_the_cards_limits() -> None:
    page = PAGE.read_text(encoding="utf-8")
    code = Path(dry_enough.__code__.co_filename).read_text(encoding="utf-8")
    rows = set(re.findall(r"^\| `(insert\.\w+)`", page, re.MULTILINE))
    assert rows == set(re.findall(r'id="(insert\.\w+)"', code))
    for resin, words in ((URETHANE, "for the urethane"), (EPOXY, "for the epoxies")):
        most = load_job(JOB, sets=(f"resin.card={resin}",)).job.resin.most_moisture
        assert most is not None
        assert f"{100 * most:g} % {words} that" in page
