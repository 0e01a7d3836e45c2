"""Keys that a job gives and nothing in it asks for: which, and what is said of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from mouldgen.build import build_moulds
from mouldgen.job.idle import idle_keys
from mouldgen.job.load import load_job
from mouldgen.job.presets import names

BARE = Path(__file__).parents[2] / "bare_job.toml"
ROD = ("insert.diameter=20 mm",)
BAR = ("insert.shape=bar", "insert.width=20 mm", "insert.thickness=10 mm")
EXTRAS = "\n[extras]\ncatch_volume = '40 ml'\n"


def idle(*sets: str, source: str | Path = BARE) -> dict[str, str]:
    loaded = load_job(source, sets=sets)
    return dict(idle_keys(loaded.job, loaded.given))


@pytest.mark.parametrize(
    ("sets", "key", "why", "use"),
    [
        ((*ROD, "mould.screw=4 mm"), "mould.screw", 'hold = "lid"', "mould.hold=screw"),
        ((*ROD, "mould.dowel=4 mm"), "mould.dowel", 'hold = "lid"', "mould.hold=dowel"),
        ((*ROD, "mould.bolt=M4"), "mould.bolt", "without lid_screws", "mould.lid_screws=3"),
        ((*ROD, "mould.tenon_length=9 mm"), "mould.tenon_length", "no tenon", "mould.tenon=10 mm"),
        ((*BAR, "mould.family=tray", "mould.vent_grooves=4"), "mould.vent_grooves",
         "pockets of a tray have none", "mould.vent_grooves=0"),
        ((*ROD, "rubber.card=tin-cure-silicone"), "rubber", "a cup mould is not cast in rubber",
         "mould.family=master"),
        ((*ROD, "order.confidence=0.99", "order.customers_wood=true"), "order.confidence",
         "no spares", "order.customers_wood=false"),
    ],
)  # fmt: skip
def test_a_key_that_nothing_asks_for_is_told_and_no_longer_where_it_is_used(
    sets: tuple[str, ...], key: str, why: str, use: str
) -> None:
    found = idle(*sets)
    assert list(found) == [key]
    assert why in found[key]
    more = ["insert.length=80 mm", "piece.length=40 mm"] if use == "mould.hold=screw" else []
    assert key not in idle(*sets, use, *more)


def test_what_catch_moulds_hold_is_told_without_any(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text(BARE.read_text(encoding="utf-8") + EXTRAS, encoding="utf-8")
    assert idle(*ROD, source=job) == {"extras.catch_volume": "catch_moulds asks for none"}
    assert idle(*ROD, "extras.catch_moulds=2", source=job) == {}


def test_a_table_that_is_idle_as_a_whole_is_told_once() -> None:
    sets = (*ROD, "rubber.card=tin-cure-silicone", "rubber.loss=0.2", "rubber.wall=9 mm")
    assert list(idle(*sets)) == ["rubber"]


@pytest.mark.parametrize("job", names("jobs"))
def test_no_shipped_job_has_one(job: str) -> None:
    assert idle(source=job) == {}


def test_what_nobody_wrote_is_not_told() -> None:
    assert idle(*ROD) == {}


def test_a_build_tells_it_as_a_note_with_its_place() -> None:
    loaded = load_job("boathouse-pegs", sets=["mould.bolt=M4"])
    told = build_moulds(loaded.job, given=loaded.given).findings
    (note,) = [f for f in told if f.id.startswith("job.no-effect")]
    assert (note.id, note.severity, note.place) == (
        "job.no-effect.mould.bolt", "note", "mould.bolt"
    )  # fmt: skip
    assert note.message == (
        "mould.bolt is kept, but it changes nothing here: nothing is bolted without lid_screws."
    )
