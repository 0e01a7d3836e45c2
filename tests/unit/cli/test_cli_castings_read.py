"""What the castings file does to the other commands: read in one place, and never in the way."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.castings_seeds import TIGHT_AND_WIDE, seed
from tests.cli_runs import mouldgen

JOB = "boathouse-pegs"
ALONE_MM = 0.88


@pytest.fixture(autouse=True)
def here(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def gap(*words: str) -> float:
    return float(mouldgen("gap", JOB, "--json", *words).json["gap_mm"])


def no_yield(here: Path) -> str:
    """The job in a file of its own that leaves its yield to belief."""
    from mouldgen.job.find import find_job

    text = find_job(JOB)[0].read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("yield")]
    (here / "pegs.toml").write_text("\n".join(lines), encoding="utf-8")
    return "pegs.toml"


def test_castings_with_voids_widen_the_gap_of_every_command() -> None:
    seed(Path("castings.sqlite"), TIGHT_AND_WIDE)
    wide = gap()
    told = mouldgen("gap", JOB)

    assert wide > ALONE_MM == gap("--no-castings")
    assert "your own 28 castings in 3 loads, of which 7 had voids" in told.words
    assert f'hold it: [mould] gap = "{wide:.2f} mm"' in told.words
    assert "gap.habit" not in told.out
    heat = mouldgen("heat", JOB, "--json").json
    assert heat["gap_mm"] == wide
    report = mouldgen("build", JOB, "--json").json
    assert report["gap"]["gap_mm"] == wide
    assert report["learned"]["castings"] == 28
    rungs = mouldgen("trial", JOB, "--around", "--steps", "3", "--json").json["rungs"]
    assert rungs[1]["gap_mm"] == wide


def test_what_was_learned_stands_in_the_answer() -> None:
    seed(Path("castings.sqlite"), TIGHT_AND_WIDE)
    learned = mouldgen("gap", JOB, "--json").json["learned"]

    assert learned["air_shift"] > 0.0
    assert {k: learned[k] for k in ("castings", "voids", "loads", "yield")} == {
        "castings": 28, "voids": 7, "loads": 3, "yield": None,
    }  # fmt: skip
    without = mouldgen("gap", JOB, "--json", "--no-castings").json["learned"]
    assert set(without) == set(learned)
    assert not any(without.values())


def test_another_file_is_named() -> None:
    seed(Path("other.sqlite"), TIGHT_AND_WIDE)

    assert gap() == ALONE_MM
    assert gap("--castings", "other.sqlite") > ALONE_MM


def test_a_file_that_was_named_and_is_not_there_is_a_slip() -> None:
    told = mouldgen("gap", JOB, "--castings", "othr.sqlite")

    assert (told.code, told.out) == (2, "")
    assert told.err.startswith("othr.sqlite: there is no such castings file.")
    both = mouldgen("gap", JOB, "--castings", "othr.sqlite", "--no-castings")
    assert both.code == 2
    assert "--castings and --no-castings do not go together" in both.err


def test_a_broken_file_is_told_and_the_physics_goes_on() -> None:
    Path("castings.sqlite").write_bytes(b"no database at all")
    told = mouldgen("gap", JOB, "--json")

    assert told.code == 0
    assert told.json["gap_mm"] == ALONE_MM
    assert "castings.sqlite" in told.json["learned"]["castings_not_read"]
    assert told.err.count("\n") == 1
    assert told.err.endswith(
        "No castings are reckoned with: the answer is that of the physics alone.\n"
    )
    assert Path("castings.sqlite").read_bytes() == b"no database at all"
    assert mouldgen("gap", JOB, "--json", "--no-castings").err == ""


def test_a_newer_file_is_told_too() -> None:
    import sqlite3

    seed(Path("castings.sqlite"), TIGHT_AND_WIDE)
    with sqlite3.connect("castings.sqlite") as db:
        db.execute("PRAGMA user_version = 99")
    db.close()
    told = mouldgen("gap", JOB)

    assert told.code == 0
    assert "was made by a newer mouldgen" in told.err


def test_prices_that_cannot_be_read_leave_the_physics(monkeypatch: pytest.MonkeyPatch) -> None:
    seed(Path("castings.sqlite"), TIGHT_AND_WIDE)
    own = Path("presets")
    own.mkdir()
    (own / "cost.toml").write_text("[cost]\nwood = 'much'\n", encoding="utf-8")
    monkeypatch.setenv("MOULDGEN_PRESETS", str(own))
    told = mouldgen("gap", JOB, "--json")

    assert told.json["gap_mm"] == ALONE_MM
    assert told.err.startswith("what castings cost cannot be reckoned")


def test_a_written_gap_is_not_touched() -> None:
    written = ("--set", "mould.gap='1.1 mm'")
    before = mouldgen("gap", JOB, "--json", *written).json
    seed(Path("castings.sqlite"), TIGHT_AND_WIDE)
    after = mouldgen("gap", JOB, "--json", *written).json

    learned = after.pop("learned")
    assert (learned["air_shift"], learned["castings"]) == (None, 0)
    before.pop("learned")
    # The gap is the job's own; the yield that the castings tell of is not, and the job differs.
    assert after.pop("fingerprint") != before.pop("fingerprint")
    assert after == before


def test_an_empty_file_changes_nothing() -> None:
    before = mouldgen("gap", JOB).out
    seed(Path("castings.sqlite"), [])

    assert mouldgen("gap", JOB).out == before


def test_a_learned_yield_is_told_where_belief_was(here: Path) -> None:
    job = no_yield(here)
    before = mouldgen("quote", job, "--quick", "--json", "--today", "2026-11-02").json
    seed(here / "castings.sqlite", TIGHT_AND_WIDE)
    told = mouldgen("quote", job, "--quick", "--today", "2026-11-02")
    after = mouldgen("quote", job, "--quick", "--json", "--today", "2026-11-02").json

    # 12 castings are believed on at 0.9, and all of 28 came good.
    basis = "from your own 28 castings, whose gaps count here as around 0.97 mm, and belief"
    assert f"Learned [order] yield 0.97, {basis}." in told.words
    taken = {each["key"]: each for each in after["taken"]}
    assert taken["order.yield"]["basis"] == basis
    assert "order.yield" in {each["key"] for each in before["taken"]}
    assert after["castings"] < before["castings"]
    wide = [q["cost_good_piece"]["p90"] / q["cost_good_piece"]["middle"] for q in (before, after)]
    assert wide[1] < wide[0]  # a yield believed on 40 castings is surer than one on 12


def test_grams_and_a_price_at_a_learned_gap_say_that_it_is() -> None:
    plain = [mouldgen(word, JOB, *more) for word, *more in (("resin",), ("quote", "--quick"))]
    seed(Path("castings.sqlite"), TIGHT_AND_WIDE)
    moved = gap()

    assert not any("Your castings move" in run.out or "Learned" in run.out for run in plain)
    assert f'hold it: [mould] gap = "{moved:.2f} mm"' in mouldgen("resin", JOB).words
    quoted = mouldgen("quote", JOB, "--quick").words
    assert f"Learned the gap of {moved:.2f} mm, from your own 28 castings, and belief." in quoted


def test_counts_name_the_castings_too(here: Path) -> None:
    job = no_yield(here)
    seed(here / "castings.sqlite", TIGHT_AND_WIDE)
    told = mouldgen("build", job)

    seen = "whose gaps count here as around 0.97 mm"
    assert f"97 % of castings good, from your own 28 castings, {seen}, that many" in told.words
    bought = mouldgen("buy", job, "--quick", "--set", "order.confidence=0.99")
    assert re.search(  # more castings, and the thickest insert takes up more
        r"believed as if on 40 castings, 28 of them your own, whose gaps count here as around"
        r" 0\.9[78] mm,",
        bought.words,
    )
    in_inches = mouldgen("build", job, "--set", "unit=in").words
    assert f"from your own 28 castings, {seen} (0.038 in), that many" in in_inches


def test_castings_at_the_gap_that_the_job_has_are_not_said_to_be_elsewhere(here: Path) -> None:
    job = no_yield(here)
    seed(here / "castings.sqlite", TIGHT_AND_WIDE)
    # They stand for 0.88 mm and 1.32 mm: the gap that is written lies among them.
    held = ("--set", "mould.gap='1.1 mm'")
    told = mouldgen("quote", job, "--quick", *held)

    assert "Learned [order] yield 0.97, from your own 28 castings, and belief." in told.words
    assert mouldgen("gap", job, "--json", *held).json["learned"]["seen_gap_mm"] is None
    moved = mouldgen("gap", job, "--json").json["learned"]
    assert moved["seen_gap_mm"] == pytest.approx(0.97, abs=0.01)


@pytest.mark.parametrize(
    "words",
    [["plan"], ["quote"], ["quote", "--quick"], ["buy"], ["buy", "--quick"], ["resin"]],
    ids=" ".join,
)
def test_all_json_says_what_was_learned_as_a_gap_does(words: list[str], here: Path) -> None:
    job = no_yield(here)
    seed(here / "castings.sqlite", TIGHT_AND_WIDE)
    word, *more = words
    today = ("--today", "2026-11-02") if word in {"plan", "quote"} else ()
    learned = mouldgen("gap", job, "--json").json["learned"]
    told = mouldgen(word, job, "--json", *more, *today).json["learned"]

    assert told == learned
    assert (told["castings"], told["of_the_way"], told["yield_castings"]) == (28, 1.0, 28)


@pytest.mark.parametrize("word", ["plan", "quote", "buy", "resin"])
def test_a_conflict_says_in_json_what_was_learned(word: str, here: Path) -> None:
    job = no_yield(here)
    seed(here / "castings.sqlite", TIGHT_AND_WIDE)
    told = mouldgen(word, job, "--json", "--set", "pour.close=60 min")

    assert told.code == 1
    assert told.json["conflict"]
    assert (told.json["learned"]["yield"], told.json["learned"]["air_shift"]) == (0.97, None)


def test_a_gap_on_a_part_of_the_way_does_not_claim_the_least_cost(here: Path) -> None:
    seed(here / "castings.sqlite", ((0.46, 4, 5), (0.46, 3, 5)))
    told = mouldgen("gap", JOB)
    learned = mouldgen("gap", JOB, "--json").json["learned"]

    # Ten castings: three ninths of the way from eight on.
    assert learned["of_the_way"] == pytest.approx(1.0 / 3.0, abs=1e-6)
    assert re.search(
        r"of which 7 had voids, move it to 0\.\d\d mm, 33 % of the way to the least cost of a good"
        r" piece, plus",
        told.words,
    )
    assert "for the least cost" not in told.words


def test_the_shops_own_file_lies_beside_its_shop_file(here: Path) -> None:
    shop = here / "shop"
    shop.mkdir()
    (shop / "shop.toml").write_text("[shop]\nwage = 25\n", encoding="utf-8")
    no_yield(shop)
    seed(shop / "castings.sqlite", TIGHT_AND_WIDE)

    assert mouldgen("gap", "shop/pegs.toml", "--json").json["gap_mm"] > ALONE_MM
    assert gap() == ALONE_MM  # a shipped job belongs to no shop


def test_a_sweep_keeps_what_was_learned(here: Path) -> None:
    seed(here / "castings.sqlite", TIGHT_AND_WIDE)
    words = ("--sweep", "insert.length=60 mm..80 mm", "--steps", "3", "--json")
    alone = mouldgen("gap", JOB, *words, "--no-castings").json["rows"]
    moved = mouldgen("gap", JOB, *words).json["rows"]

    assert all(b["gap_mm"] > a["gap_mm"] for a, b in zip(alone, moved, strict=True))
    assert moved[1]["gap_mm"] == gap()


def test_the_demo_reads_no_castings() -> None:
    seed(Path("castings.sqlite"), TIGHT_AND_WIDE)

    assert mouldgen("demo", "--json").json["gap"]["gap_mm"] == ALONE_MM


@pytest.mark.parametrize(
    "words",
    [
        ["resin", JOB, "--json"],
        ["pot", JOB, "--json"],
        ["beds", JOB, "--json"],
        ["buy", JOB, "--quick", "--json"],
        ["quote", JOB, "--quick", "--json", "--today", "2026-11-02"],
        ["plan", JOB, "--json", "--today", "2026-11-02"],
        ["potcard", JOB, "--load", "2"],
    ],
    ids=lambda words: words[0],
)
def test_no_command_is_left_out(words: list[str]) -> None:
    seed(Path("castings.sqlite"), TIGHT_AND_WIDE)
    moved, alone = mouldgen(*words), mouldgen(*words, "--no-castings")

    assert (moved.code, alone.code) == (0, 0)
    assert moved.out != alone.out
