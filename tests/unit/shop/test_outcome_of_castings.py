"""Good, filled, lost; wood that leaves no spares; numbers that cannot be meant."""

import pytest
from scipy import stats

from mouldgen.errors import InternalError, JobError, PresetError
from mouldgen.shop.belief import Belief, believed, castings_to_start
from mouldgen.shop.no_spares import no_spares
from mouldgen.shop.outcome import Expected, outcome
from mouldgen.shop.share_interval import jeffreys, wilson
from tests.demo_set import job_with


def seen(expected: Expected) -> tuple[float, int, int]:
    return pytest.approx(expected.mean), expected.low, expected.high


@pytest.mark.parametrize("on", [None, 12.0])
@pytest.mark.parametrize("castings", [2, 20, 300])
def test_percentiles_are_those_of_scipy(castings: int, on: float | None) -> None:
    found = outcome(castings, yield_=0.9, fills=0.2, yield_seen=on, fills_seen=on)

    def of(share: float) -> tuple[float, int, int]:
        law = (
            stats.binom(castings, share)
            if on is None
            else stats.betabinom(castings, on * share, on * (1 - share))
        )
        return castings * share, int(law.ppf(0.1)), int(law.ppf(0.9))

    for expected, share in ((found.good, 0.9), (found.filled, 0.2), (found.lost, 0.1)):
        assert seen(expected) == of(share)


@pytest.mark.parametrize("filled", [4, 5])
def test_four_or_five_of_twenty_to_fill_are_not_four_or_five_lost(filled: int) -> None:
    # Common practice, no source: voids are filled and turned again; few blanks are lost.
    found = outcome(20, yield_=0.92, fills=filled / 20)

    assert found.filled.low <= filled <= found.filled.high
    assert found.lost.mean < 2.0 < filled
    assert found.lost.high < filled
    assert found.good.mean > 20 - filled


def test_fills_take_nothing_from_the_good() -> None:
    few, all_ = (outcome(20, yield_=0.9, fills=share) for share in (0.0, 1.0))

    assert seen(few.good) == seen(all_.good)
    assert (few.filled.mean, all_.filled.mean) == (0.0, 20.0)


@pytest.mark.parametrize(
    ("changes", "where"),
    [({"castings": -1}, "pieces"), ({"yield_": 1.1}, "yield"), ({"fills": -0.1}, "fills")],
)
def test_numbers_that_cannot_be_meant(changes: dict[str, float], where: str) -> None:
    words = {"castings": 20, "yield_": 0.9, "fills": 0.2, **changes}
    with pytest.raises(JobError, match=rf"\[order\] {where}"):
        outcome(words.pop("castings"), **words)


def test_the_customers_wood_is_tested_first() -> None:
    order = job_with(order={"customers_wood": True, "yield_": 0.9}).order
    found = no_spares(order, castings=3)

    assert found.all_good == pytest.approx(0.729, rel=1e-12)
    assert found.tests == 1
    assert "all 3 castings come good with a chance of 73 %. Cast 1 more first" in (
        found.finding.message
    )
    assert "the one casting comes good" in no_spares(order, castings=1).finding.message
    assert no_spares(job_with().order, castings=3) is None


@pytest.mark.parametrize("call", [wilson, jeffreys])
@pytest.mark.parametrize(("hits", "of"), [(0, 0), (-1, 5), (6, 5)])
def test_no_interval_of_nothing(call, hits: int, of: int) -> None:
    with pytest.raises(InternalError, match="no interval of"):
        call(hits, of)


def test_beliefs_that_are_none() -> None:
    with pytest.raises(InternalError, match="no belief is held on 0 good"):
        Belief(0.0, 2.0)
    with pytest.raises(PresetError, match=r"nothing is believed on 0 castings"):
        believed(0.9, on=0.0)
    with pytest.raises(JobError, match="more than 100000 castings"):
        castings_to_start(10, Belief(0.1, 5.0), confidence=0.99)
    with pytest.raises(JobError, match=r"\[order\] pieces"):
        castings_to_start(0, Belief(1, 1), confidence=0.5)
    with pytest.raises(JobError, match=r"\[order\] confidence"):
        castings_to_start(1, Belief(1, 1), confidence=1.0)
