"""Keys of shop, work, cost, packs, pots and colours: how they are read, and what is refused."""

from __future__ import annotations

import datetime as dt
from dataclasses import fields
from pathlib import Path

import pytest

from mouldgen.errors import JobError, PresetError, UnitError
from mouldgen.job.clock import clock
from mouldgen.job.costs import costs
from mouldgen.job.load import LoadedJob, load_job
from mouldgen.job.presets import read_table
from mouldgen.job.price import pack
from mouldgen.job.shop_tables import Cost, Shop, Work
from mouldgen.job.work import WorkTimes, work_times


def loaded(*sets: str) -> LoadedJob:
    return load_job("boathouse-pegs", sets=sets)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("1.5 kg for 42", (1500.0, "g", 42.0)),
        ("1 lb for 30", (453.59237, "g", 30.0)),  # NIST SP 811: exact
        ("1 US gal for 160", (3785.411784, "ml", 160.0)),  # NIST SP 811: exact
        ("  .5 l FOR .5 ", (500.0, "ml", 0.5)),
    ],
)
def test_a_pack_is_read_in_mass_or_in_volume(text, found):
    holds, unit, price = pack(text)
    assert unit == found[1]
    assert (holds, price) == pytest.approx((found[0], found[2]), rel=1e-12)


@pytest.mark.parametrize(
    "text", ["1.5 kg", "for 42", "1.5 kg for 0", "1.5 kg for -3", "3 for 2", 7]
)
def test_what_is_no_pack_is_refused(text):
    with pytest.raises(UnitError, match=r"pack of resin|neither a mass nor a volume"):
        pack(text)


@pytest.mark.parametrize(
    ("written", "seconds"),
    [("8:00", 28800.0), ("0:00", 0.0), ("23:59", 86340.0), (dt.time(7, 30), 27000.0)],
)
def test_a_time_of_day(written, seconds):
    assert clock(written) == seconds


@pytest.mark.parametrize("written", ["24:00", "8", "8.00", "8:60", "8 am", 8, None])
def test_what_is_no_time_of_day_is_refused(written):
    with pytest.raises(UnitError, match="not a time of day"):
        clock(written)


def test_the_jobs_own_times_go_before_those_of_the_presets():
    shipped, own = work_times(None), work_times(Work(finish="20 min", drill="0 s"))
    assert (own.finish, own.drill) == (1200.0, 0.0)
    same = {field.name for field in fields(WorkTimes)} - {"finish", "drill", "sand"}
    assert all(getattr(own, name) == getattr(shipped, name) for name in same)


def test_sanding_takes_as_long_as_the_turning_unless_it_is_given():  # common practice, no source
    times = work_times(Work(rough="3 min", finish="7 min"))
    assert times.sand == 600.0
    assert work_times(Work(sand="1 min")).sand == 60.0


def test_a_wage_of_the_shop_goes_before_that_of_the_presets():
    assert costs(None, Shop(wage=31.0)).wage == 31.0
    assert costs(None, Shop()).wage == read_table("cost")["cost"]["wage"]
    assert costs(Cost(wood=0.0), Shop()).wood == 0.0


@pytest.mark.parametrize("name", ["work", "cost"])
def test_every_shipped_number_says_where_it_comes_from(name):
    data = read_table(name)
    keys = {key for table, rows in data.items() if table != "basis" for key in rows}
    assert keys == set(data["basis"])
    assert all("belief" in text or "common practice" in text for text in data["basis"].values())


@pytest.mark.parametrize(
    ("name", "text", "match"),
    [
        ("work", "[work]\n", "the key wood is missing"),
        ("work", '[work]\nwood = "soon"\n', r"work.toml \[work\] wood"),
        ("cost", "[cost]\nwood = -1\n", r"-1 is not a number that fits"),
        ("cost", "[cost]\nwood = true\n", r"True is not a number that fits"),
    ],
)
def test_a_broken_file_of_the_makers_own_is_named(name, text, match, tmp_path: Path, monkeypatch):
    (tmp_path / f"{name}.toml").write_text(text)
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path))
    with pytest.raises(PresetError, match=match):
        work_times(None) if name == "work" else costs(None, Shop())


@pytest.mark.parametrize(
    ("sets", "match"),
    [
        (("pot.floor_plate=130 mm", "pot.lid_in=100 mm"), r"take 230 mm of a pot that is 230 mm"),
        (("pour.colours=layers", "pour.layers=2"), r"there are 1 colours for 2 pours"),
        (("resin.full_cure=2 h",), r"fully cured after 2 h, before .* demoulded after 72 h"),
        (("resin.least_depth=60 mm",), r"60 mm at least is over the depth of 50 mm"),
        (("shop.hours=17",), r"17 hours from when the shop opens pass midnight"),
        (("order.start=2026-12-19",), r"the day is before the start, 2026-12-19"),
        (("shop.opens=25:00",), r"not a time of day"),
        (("resin.ratio_tolerance=0",), r"ratio_tolerance"),
    ],
)
def test_keys_that_cannot_both_be_meant_are_refused(sets, match):
    with pytest.raises(JobError, match=match):
        loaded(*sets)


def test_what_a_floor_plate_and_a_lid_take_is_not_there_for_moulds():
    pot = loaded("pot.floor_plate=10 mm", "pot.lid_in=1 in").job.pot
    assert pot is not None
    assert pot.usable_mm == pytest.approx(230.0 - 10.0 - 25.4, rel=1e-12)
