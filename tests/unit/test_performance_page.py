"""docs/performance.md says what the kept figures say, and they tell of no one machine."""

from __future__ import annotations

import copy
import json
import math
import platform
from pathlib import Path

import pytest

from benchmarks import figures
from benchmarks.growth import fitted
from docs import make_performance

SECTIONS = {
    "beds_and_pots", "body_and_lid", "growth", "many_variants", "pour_and_reconstruction",
    "shares", "tune_and_statsmodels",
}  # fmt: skip


def test_the_page_and_its_plots_are_those_of_the_figures() -> None:
    found = figures.kept()

    assert set(found) == SECTIONS
    assert make_performance.PAGE.read_text(encoding="utf-8") == make_performance.page(found)
    for name, picture in make_performance.pictures(found).items():
        assert (make_performance.FOLDER / name).read_text(encoding="utf-8") == picture


def test_the_page_can_be_written_without_the_script_that_was_not_measured() -> None:
    found = copy.deepcopy(figures.kept())
    for way in ("with_occ", "with_occ:plain"):
        found["body_and_lid"]["ways"].pop(way, None)
    found["body_and_lid"]["build123d"] = None
    found["many_variants"]["seconds"].pop("cluster", None)

    page = make_performance.page(found)

    assert page.count(": not measured.") == 3
    assert "times would take" not in page


def test_figures_name_no_machine_no_user_and_no_path() -> None:
    text = figures.FILE.read_text(encoding="utf-8")

    named = {platform.node(), str(Path.home()), str(Path.cwd())} - {"", "/", "localhost"}
    assert [name for name in sorted(named) if name in text] == []
    assert all(word not in text for word in ("/home/", "/tmp/", "\\Users\\"))
    assert json.loads(text)


def test_a_section_is_kept_beside_the_others(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(figures, "FILE", tmp_path / "new" / "performance.json")
    figures.keep("one", {"value": 1.0 / 3.0})
    figures.keep("other", {"pitches": [{"same": True, "voxels": 12}]})
    figures.keep("one", {"value": 2.0 / 3.0})

    found = figures.kept()
    assert found["one"]["value"] == 0.6666667
    assert found["other"]["pitches"] == [{"same": True, "voxels": 12}]
    assert set(found["one"]["machine"]) == {
        "system", "processor", "cores", "memory_gb", "busy", "versions",
    }  # fmt: skip


def test_an_exponent_is_that_of_a_power_and_how_far_points_are_off_is_told() -> None:
    even = fitted([(size, 3e-3 * size**1.25) for size in (10.0, 100.0, 1000.0)])
    bent = fitted([(1.0, 1.0), (math.e, 2.0 * math.e), (math.e**2, math.e**2)])

    assert even["exponent"] == pytest.approx(1.25, rel=1e-12)
    assert even["off"] == pytest.approx(0.0, abs=1e-12)
    # ln of the middle one is ln 2 over a line of slope 1; the fit takes up a third of it.
    assert bent["exponent"] == pytest.approx(1.0, rel=1e-12)
    assert bent["off"] == pytest.approx(2.0 ** (2.0 / 3.0) - 1.0, rel=1e-12)
