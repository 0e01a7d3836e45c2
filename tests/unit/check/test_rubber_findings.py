"""What is said of a rubber mould: each sentence where it belongs, and nowhere else.

All of them are common practice, no source, but for the geometry.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from mouldgen.check.rubber import rubber_findings
from mouldgen.finding import Finding
from mouldgen.job.changes import from_card
from mouldgen.job.load import load_job
from mouldgen.job.material_tables import Rubber
from mouldgen.job.shop_tables import Pot
from mouldgen.size.profile import Profile
from tests.demo_set import demo_set
from tests.lamp_set import LAMP, size_of_rubber

TIN, PLATINUM = (from_card(Rubber, f"{name}-cure-silicone") for name in ("tin", "platinum"))
POT = load_job(LAMP).job.pot


def told(rubber: Rubber = TIN, **changes: Any) -> dict[str, Finding]:
    asked = {"size": size_of_rubber(), "pressure_kpa": 379.0, "pot": POT, **changes}
    found = rubber_findings(rubber, asked.pop("size"), **asked)
    return {finding.id.removeprefix("rubber."): finding for finding in found}


def test_a_printed_mould_hears_nothing_of_rubber() -> None:
    size = demo_set().answer.size
    assert rubber_findings(TIN, size, pressure_kpa=379.0, pot=None) == ()
    assert rubber_findings(None, size, pressure_kpa=379.0, pot=None) == ()
    assert [f for f in demo_set().findings if f.rule == "rubber"] == []


def test_platinum_is_warned_about_prints_and_tin_is_not() -> None:
    found = told(PLATINUM)["inhibited"]
    assert found.severity == "warn"
    assert "Seal the plugs" in found.message
    assert "printed scrap first" in found.message
    assert "inhibited" not in told(TIN)


def test_rubber_sticks_to_rubber() -> None:
    assert "release agent" in told()["release"].message


def test_the_rubber_cures_under_the_castings_pressure() -> None:
    found = told(pressure_kpa=55 * 6.894757)["pressure"]
    assert found.severity == "warn"
    assert "cure under 55 psi gauge or more" in found.message
    assert "pressure" not in told(pressure_kpa=0.0)


@pytest.mark.parametrize(
    ("diameter", "height", "fits"),
    [(228.0, 230.0, True), (190.0, 230.0, False), (228.0, 110.0, False)],
)
def test_the_box_must_go_into_the_pot_for_that(diameter, height, fits) -> None:
    """The box is 10 mm wider than the rubber that it is for."""
    pot = Pot.model_validate({"diameter": f"{diameter} mm", "height": f"{height} mm"})
    size = size_of_rubber()
    assert 2.0 * size.across_mm + 16.0 < 190.0  # the rubber itself would go in
    assert ("box-pot" in told(pot=pot)) is not fits
    assert "box-pot" not in told(pot=None)


def test_clock_life_and_layers() -> None:
    found = told()
    assert "within 45 min from mixing and leave it 24 h" in found["clock"].message
    assert "Sellers claim 50 to 200 castings" in found["life"].message
    assert "about 5 years" in found["life"].message
    assert "layer line" in found["layers"].message
    assert "never sealed" in found["hollow"].message
    silent = TIN.model_copy(
        update={"pot_life": None, "cure": None, "casts": None, "shelf_years": None}
    )
    assert {"clock", "life"} & set(told(silent)) == set()


def test_neighbours_warm_each_other_only_where_there_are_any() -> None:
    assert "neighbours" in told()
    assert "neighbours" not in told(size=size_of_rubber("mould.up=1"))


@pytest.mark.parametrize(("shore", "severity"), [(25.0, "note"), (30.0, "note"), (31.0, "warn")])
def test_an_undercut_says_how_far_the_rubber_must_stretch(shore, severity) -> None:
    """20 mm round below 16: a quarter more all round."""
    bore = Profile(((0.0, 18.0), (30.0, 20.0), (34.0, 16.0), (94.0, 17.0)))
    size = replace(size_of_rubber(), bore=bore)
    found = told(TIN.model_copy(update={"shore_a": shore}), size=size)["undercut"]
    assert (found.severity, found.measured) == (severity, 4.0)
    assert "stretch by 25 %" in found.message
    assert ("hardly gives" in found.message) is (severity == "warn")


def test_a_straight_or_opening_bore_is_no_undercut() -> None:
    assert "undercut" not in told()
    opening = replace(size_of_rubber(), bore=Profile(((0.0, 18.0), (94.0, 23.0))))
    assert "undercut" not in told(size=opening)
