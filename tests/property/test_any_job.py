"""Whole jobs out of two stated domains (tests/strategies.py)."""

from __future__ import annotations

import math
from collections import Counter

import pytest
import scipy.stats
from hypothesis import HealthCheck, Phase, given, settings

from mouldgen.build import build_moulds
from mouldgen.finding import Finding
from mouldgen.gap.heat import (
    SOFTENS_LESS_K,
    WIDEST_MM,
    data_sheet,
    likely_way,
    resin_limit_c,
    section,
)
from mouldgen.job.model import Job
from mouldgen.mould_set import MouldSet
from mouldgen.physics.exotherm import cure_in_mould
from mouldgen.solid.topology import topology_of
from tests.strategies import comfortable_jobs, wide_jobs

many = settings(
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=[HealthCheck.too_slow],
    phases=(Phase.generate, Phase.shrink),
)


def stops(found: MouldSet) -> list[Finding]:
    return [finding for finding in found.findings if finding.severity == "stop"]


@pytest.mark.parametrize("count", [50, pytest.param(150, marks=pytest.mark.heavy)])
def test_comfortable_jobs_have_nothing_to_fix(count: int) -> None:
    @settings(many, max_examples=count)
    @given(comfortable_jobs())
    def each(job: Job) -> None:
        found = built_with_nothing_to_fix(job)
        assert len(found.beds) >= 1
        assert found.amounts.total_ml > found.answer.size.net_ml * job.order.pieces

    each()


@pytest.mark.parametrize("count", [80, pytest.param(250, marks=pytest.mark.heavy)])
def test_wide_jobs_are_sound_or_say_why_not(count: int) -> None:
    # How many of them get moulds is measured in test_share_of_wide_jobs.py, out of even draws.
    @settings(many, max_examples=count)
    @given(wide_jobs())
    def each(job: Job) -> None:
        tally: Counter[str] = Counter()
        count_sound_or_told(job, tally)
        assert tally["sound"] + tally["gap.conflict"] == tally["all"] == 1

    each()


def built_with_nothing_to_fix(job: Job) -> MouldSet:
    found = build_moulds(job)
    assert [(f.id, f.message) for f in stops(found)] == []
    assert_sound(found)
    return found


def count_sound_or_told(job: Job, tally: Counter[str]) -> None:
    """Sound parts, or a conflict; and every must-fix finding is true."""
    found = build_moulds(job)
    tally["all"] += 1
    if found.parts is not None:
        tally["sound"] += 1
        assert_sound(found)
    else:
        assert "gap.conflict" in [f.id for f in stops(found)]
    for finding in stops(found):
        tally[finding.id] += 1
        confirm(finding, found)


def assert_sound(found: MouldSet) -> None:
    for part in found.parts.parts:
        topology = topology_of(part.mesh)
        assert topology.closed
        assert topology.flat == 0
        assert (topology.genus, topology.shells, topology.inward) == (part.genus, 1, 0)
        assert part.mesh.volume_mm3 > 0.0
        assert part.mesh.bounds[0][2] == 0.0


def confirm(finding: Finding, found: MouldSet) -> None:
    """Reckon a must-fix finding's condition anew, by other means than the code's."""
    job = found.answer.job
    kind = finding.id
    if kind == "gap.conflict":
        asked = asked_mm(found)
        reasons = (over_size, too_hot, too_thick)
        assert gelled(job) or any(reason(found, asked) for reason in reasons), finding.message
    elif kind in ("gap.air", "gap.push", "gap.feed"):
        assert gelled(job, within=0.1), finding.message
    elif kind == "gap.take-up":
        assert job.mould.gap < take_up_mm(found) - 1e-9
    elif kind in ("gap.fits", "beds.no-room"):
        assert over_size(found, job.mould.gap), finding.message
    elif kind == "clear.length":
        assert job.piece.length + 2.0 * found.answer.facing_mm > fill_mm(job)
    elif kind in ("clear.outline-body", "clear.outline-lid"):
        # Within the insert's own envelope there is nothing but insert.
        envelope = found.answer.insert.envelope_mm
        assert job.piece.length > job.insert.length or job.piece.diameter / 2.0 > envelope
    else:
        pytest.fail(f"nobody reckons {kind} anew: {finding.message}")


def gelled(job: Job, *, within: float = 0.0) -> bool:
    """The makers' rule: half the time for every 10 degrees.

    within : share of the time before it in which nothing flows any more.
    """
    gel = job.resin.gel * 2.0 ** ((job.resin.gel_temperature - job.pour.shop) / 10.0)
    return gel <= job.pour.close * (1.0 + within)


def too_hot(found: MouldSet, gap: float) -> bool:
    """The hottest wall of the likely way, in the mould as it is at the fill line, one history.

    A hundredth and the rule's own step of bisection more than is asked for.
    """
    asked = found.answer.question
    gap = min(max(gap, 0.0) + 0.06, WIDEST_MM)
    history = cure_in_mould(
        data_sheet(asked.resin),
        section(asked, gap),
        belief=likely_way(asked.resin),
        air=asked.pour.shop + 273.15,
    )
    wall = history.wall_peak - 273.15 > asked.plastic.softens - SOFTENS_LESS_K
    return wall or history.peak - 273.15 > resin_limit_c(asked.resin)


def too_thick(found: MouldSet, gap: float) -> bool:
    """The resin's area over the bore's half circumference, against the data sheet's depth."""
    insert, depth = found.answer.insert, found.answer.job.resin.depth
    bore = insert.envelope_mm + gap + 0.01
    return depth is not None and (math.pi * bore**2 - insert.least_mm2) / (math.pi * bore) > depth


def take_up_mm(found: MouldSet) -> float:
    """With no readings: the drawn size counts as one, four more from the prior of 0.15 mm."""
    job = found.answer.job
    assert not job.insert.measured
    if job.order.customers_wood:
        pytest.fail("the strategies draw no customer's wood")
    quantile = scipy.stats.t.ppf(1.0 - 0.05 / found.answer.moulds, 4)
    return float(quantile * 0.15 * math.sqrt(2.0) + job.printer.undersize) / 2.0


def asked_mm(found: MouldSet) -> float:
    values = [b.value_mm for b in found.answer.gap.bounds if b.kind == "at_least"]
    return math.inf if None in values else max(values)


def fill_mm(job: Job) -> float:
    return job.insert.length + 2.0 if job.mould.fill is None else job.mould.fill


def over_size(found: MouldSet, gap: float) -> bool:
    """Whether lid or cup outgrow bed or pot: wall of whole lines, grooves of 1.2 mm, a lid that
    slips over them with the printer's clearance, a disc of 2.4 mm."""
    job, allow = found.answer.job, found.answer.allowances
    slope = math.tan(math.radians(job.mould.draft))
    top = job.insert.length + 2.0
    rim = max(fill_mm(job), top + allow.head_mm) + allow.freeboard_mm
    wall = math.ceil(allow.wall_mm / job.printer.line - 1e-9) * job.printer.line
    groove = 1.2 if job.mould.vent_grooves else 0.0
    bore = found.answer.insert.envelope_mm + gap + slope * (rim - 2.0)
    across = 2.0 * (bore + groove + wall + job.printer.clearance + wall)
    floor = math.ceil(allow.floor_mm / job.printer.layer - 1e-9) * job.printer.layer
    bed = job.printer
    least_bed = bed.diameter if bed.shape == "round" else min(bed.width, bed.depth)
    # A hundredth: the code gives gaps to one, and facets stand off by their tolerance.
    slack = 0.02 + 4.0 * job.mould.chord
    if across > least_bed - 2.0 * bed.margin - slack or floor + rim > bed.height - slack:
        return True
    if job.pot is None:
        return False
    stack = floor + rim + 2.4
    return bool(
        across > job.pot.diameter - 2.0 * job.pot.margin - slack or stack > job.pot.height - slack
    )
