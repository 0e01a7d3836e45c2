"""The pressure asked for against the rating on the pot's plate."""

from __future__ import annotations

import pytest

from mouldgen.check.pot import pressure_findings
from mouldgen.errors import JobError
from mouldgen.job.load import load_job
from mouldgen.job.model import Pour
from mouldgen.job.rating import pressure_words
from mouldgen.job.shop_tables import Pot

PSI = 6.894757  # kPa; NIST SP 811 (2008), Appendix B


def pot(rating: str | None) -> Pot:
    return Pot.model_validate({"diameter": "228 mm", "height": "230 mm", "rating": rating})


def pour(pressure: str | None) -> Pour:
    return Pour.model_validate({"pressure": pressure})


@pytest.mark.parametrize("pressure", ["60 psi", "50 psi", "0 psi", None])
def test_up_to_the_rating_nothing_is_said(pressure: str | None) -> None:
    assert pressure_findings(pour(pressure), pot("60 psi")) == ()


def test_above_the_rating_must_be_fixed_and_is_not_repeated() -> None:
    (found,) = pressure_findings(pour("61 psi"), pot("60 psi"))

    assert (found.severity, found.id, found.place) == ("stop", "pot.rating", "[pour] pressure")
    assert found.measured == pytest.approx(61 * PSI, rel=1e-6)
    assert found.limit == pytest.approx(60 * PSI, rel=1e-6)
    assert "60 psi (4.1 bar) gauge" in found.message
    assert "61" not in found.message


def test_a_job_file_is_refused_in_the_same_words() -> None:
    (found,) = pressure_findings(pour("61 psi"), pot("60 psi"))

    with pytest.raises(JobError) as refused:
        load_job("boathouse-pegs", sets=("pour.pressure=61 psi",))

    assert refused.value.where.endswith("[pour] pressure")
    assert f": {found.message[0].lower()}{found.message[1:]}" in str(refused.value)
    assert "61" not in str(refused.value)


@pytest.mark.parametrize("of", [pot(None), None], ids=["no-rating", "no-pot"])
def test_without_a_rating_a_pressure_is_looked_at(of: Pot | None) -> None:
    (found,) = pressure_findings(pour("50 psi"), of)

    assert (found.severity, found.id) == ("warn", "pot.no-rating")
    assert "50" not in found.message


def test_pressures_are_gauge_and_say_so() -> None:
    assert pressure_words(50 * PSI) == "50 psi (3.4 bar) gauge"
