"""Numbers far outside of what shops have are told, and the shipped ones are not."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from mouldgen.build import build_moulds
from mouldgen.check.unlikely import USUAL, unlikely
from mouldgen.job import keys, presets
from mouldgen.job.load import load_job

ROOT = Path(__file__).parents[3]
JOBS = presets.names("jobs")


def told(*sets: str) -> dict[str, str]:
    job = load_job(ROOT / "presets" / "jobs" / "boathouse-pegs.toml", sets=sets).job
    return {f.place: f.message for f in unlikely(job)}


@pytest.mark.parametrize("name", JOBS)
def test_no_shipped_job_is_unlikely(name: str) -> None:
    assert unlikely(load_job(ROOT / "presets" / "jobs" / f"{name}.toml").job) == ()


@pytest.mark.parametrize(
    ("setting", "place", "says"),
    [
        ("resin.density_a=11.2 g/ml", "[resin] density_a", r"11\.2 g/ml.*0\.85 g/ml and 2 g/ml"),
        ("resin.density_b=0.096 g/ml", "[resin] density_b", r"is 0\.096 g/ml"),
        ("resin.viscosity=600 Pa s", "[resin] viscosity", r"600 Pa s.*20 mPa s and 20 Pa s"),
        ("resin.viscosity=0.6 mPa s", "[resin] viscosity", r"is 0\.6 mPa s"),
        ("resin.gel=40 s", "[resin] gel", r"is 40 s.*1\.5 min and 4 d"),
        ("resin.gel_temperature=77 C", "[resin] gel_temperature", r"is 77 C \(171 F\)"),
        ("pour.shop=20 F", "[pour] shop", r"is -7 C \(20 F\).*5 C \(41 F\) and 40 C \(104 F\)"),
        ("pour.shop=70 C", "[pour] shop", r"is 70 C \(158 F\)"),
        ("pour.pressure=50 kPa", "[pour] pressure", r"is 7\.25 psi"),
        ("plastic.softens=26 C", "[plastic] softens", r"is 26 C \(79 F\)"),
        ("plastic.density=12.7 g/ml", "[plastic] density", r"is 12\.7 g/ml"),
        ("printer.layer=2 mm", "[printer] layer", r"is 2 mm"),
        ("printer.line=4.2 mm", "[printer] line", r"is 4\.2 mm"),
    ],
)
def test_a_slip_of_the_pen_is_told_with_the_usual_range(
    setting: str, place: str, says: str
) -> None:
    found = told(setting)
    assert set(found) == {place}
    assert re.search(says, found[place])
    assert "slip of the pen or a wrong unit" in found[place]


def test_the_ends_of_a_range_are_inside() -> None:
    assert told("pour.shop=5 C") == told("pour.shop=40 C") == {}
    assert set(told("pour.shop=4.9 C")) == {"[pour] shop"}


def test_a_density_that_no_wood_has_is_only_worth_knowing() -> None:
    """Brass is cast in resin too."""
    job = load_job(
        ROOT / "presets" / "jobs" / "lantern-grips.toml", sets=["insert.density=8.5 g/ml"]
    ).job
    (finding,) = unlikely(job)
    assert (finding.severity, finding.measured, finding.limit) == ("note", 8.5, 1.5)


def test_a_build_tells_it() -> None:
    job = load_job(
        ROOT / "presets" / "jobs" / "boathouse-pegs.toml",
        sets=["mould.gap=2 mm", "pour.shop=3 C"],
    ).job
    found = {f.id: f for f in build_moulds(job).findings}
    assert found["job.unlikely.pour.shop"].severity == "warn"


def test_every_range_is_one_of_a_key_and_says_where_it_comes_from() -> None:
    for usual in USUAL:
        table, key = re.fullmatch(r"\[(\w+)\] (\w+)", usual.place).groups()
        assert key in keys.fields(table)
        assert 0.0 < usual.least < usual.most
        assert re.match(r"belief|common practice, no source|published|from memory", usual.basis)
    page = (ROOT / "docs" / "what-is-checked.md").read_text(encoding="utf-8")
    for usual in USUAL:
        row = f"| `{usual.place}` | {usual.told(usual.least)} | {usual.told(usual.most)} |"
        assert row in page
