"""``mouldgen trial`` end to end: gaps as people write them, the table, refusals, exit codes."""

from __future__ import annotations

from pathlib import Path

import pytest

from mouldgen.cli.trial_gaps import around, read_gaps
from mouldgen.errors import UnitError, UsageError
from tests.cli_runs import mouldgen

JOB = "boathouse-pegs"


@pytest.mark.parametrize(
    ("text", "steps", "unit", "gaps"),
    [
        ("0.6,0.9,1.2", None, "mm", (0.6, 0.9, 1.2)),
        ("1.2, 0.6 ,0.9", None, "mm", (0.6, 0.9, 1.2)),
        ("0.6,0.9 mm", None, None, (0.6, 0.9)),
        ("1/32,3/64 in", None, "mm", (0.79375, 1.190625)),
        ("0.02,1 mm", None, "in", (0.02, 1.0)),
        ("0.02,0.04", None, "in", (0.508, 1.016)),
        ("0.6..1.4", None, "mm", (0.6, 0.8, 1.0, 1.2, 1.4)),
        ("0.6..1.4", 3, "mm", (0.6, 1.0, 1.4)),
        ("0.6 .. 1.0 mm", 4, None, (0.6, 0.73, 0.87, 1.0)),
        ("0.02in..0.06in", 3, "mm", (0.51, 1.02, 1.52)),
        ("0.9", None, "mm", (0.9,)),
    ],
)
def test_gaps_as_people_write_them(
    text: str, steps: int | None, unit: str | None, gaps: tuple[float, ...]
) -> None:
    assert read_gaps(text, steps=steps, unit=unit) == pytest.approx(gaps)


@pytest.mark.parametrize(
    ("text", "steps", "error", "told"),
    [
        ("a,b", None, UnitError, r'--gaps: "a" does not start with a number'),
        ("0.6,,0.9", None, UsageError, r"a gap is missing. Allowed: a list such as"),
        ("", None, UsageError, r"a gap is missing"),
        ("0.6,0.60", None, UsageError, r"both be lettered 0.60 mm"),
        ("0.6,0.604", None, UsageError, r"both be lettered 0.60 mm"),
        ("1.4..0.6", None, UsageError, r"does not go up"),
        ("0.6..0.6", None, UsageError, r"does not go up"),
        ("0.6..", None, UsageError, r"a gap is missing"),
        ("0..1", None, UsageError, r"a gap of 0 mm is none"),
        ("-1,2", None, UnitError, r"negative"),
        ("0.6,0.9", 3, UsageError, r"--steps does not go with a list"),
        ("0.60..0.61", 5, UsageError, r"both be lettered"),
        (",".join(f"{1 + i / 10:g}" for i in range(27)), None, UsageError, r"27 gaps are more"),
        ("0.5,abc", None, UnitError, r'--gaps: "abc" does not start with a number'),
        ("0.5..abc", None, UnitError, r'--gaps: "abc" does not start with a number'),
        ("0.5,1.2 psi", None, UnitError, r'--gaps: "1.2 psi" has the unit psi, which is a unit'),
        ("0.6 g,0.9", None, UnitError, r"--gaps: "),
        ("nan,1", None, UnitError, r"--gaps: "),
    ],
)
def test_gaps_that_cannot_be_are_refused(
    text: str, steps: int | None, error: type[Exception], told: str
) -> None:
    with pytest.raises(error, match=told):
        read_gaps(text, steps=steps, unit="mm")


def test_a_bare_gap_needs_the_jobs_unit() -> None:
    with pytest.raises(UnitError, match="--gaps"):
        read_gaps("0.6,0.9", steps=None, unit=None)


def test_a_ladder_round_a_gap_has_it_in_the_middle() -> None:
    assert around(0.88, steps=None) == (0.53, 0.7, 0.88, 1.06, 1.23)
    assert around(1.0, steps=3) == (0.6, 1.0, 1.4)
    with pytest.raises(UsageError, match="an odd number with --around"):
        around(1.0, steps=4)


def test_the_table_says_which_rung_to_expect_voids_in_and_why(tmp_path: Path) -> None:
    run = mouldgen("trial", JOB, "--gaps", "0.6,0.9,1.2", "--out", str(tmp_path))
    assert run.code == 0
    assert "3 gaps from A with 0.60 mm to C with 1.20 mm, all on a bed of 220 x 220 mm" in run.words
    lines = run.out.splitlines()
    (head,) = [line for line in lines if line.startswith("rung")]
    assert head.split() == [
        "rung", "gap", "net", "ml", "g", "each", "g", "for", "22", "voids", "why",
    ]  # fmt: skip
    (first,) = [line for line in lines if line.startswith("A ")]
    assert "expect" in first
    assert "air at least 0.88 mm" in run.words
    (last,) = [line for line in lines if line.startswith("C ")]
    assert last.endswith("meets every rule")
    # 28.3 + 31.1 + 34.0 g, each on the demo's scale of 0.1 g
    assert [line.split()[4] for line in lines if line[:2] in ("A ", "B ", "C ")] == [
        "28.3", "31.1", "34.0",
    ]  # fmt: skip
    assert "One casting of each takes 93.4 g of resin, loss included" in run.words
    assert (tmp_path / f"{JOB}-trial" / "trial.csv").is_file()


def test_a_rung_kept_out_says_what_must_be_fixed(tmp_path: Path) -> None:
    run = mouldgen("trial", JOB, "--gaps", "0.3,0.9", "--out", str(tmp_path))
    assert run.code == 1
    assert "1 of them on a bed" in run.words
    assert "Rung A is kept out: must fix: A gap of 0.30 mm is less than the 0.42 mm" in run.words
    again = mouldgen("trial", JOB, "--gaps", "0.3,0.9", "--anyway", "--out", str(tmp_path))
    assert again.code == 1
    assert "A-body-MUST-FIX.stl" in again.words


def test_where_no_rung_can_be_made_the_table_is_still_told(tmp_path: Path) -> None:
    run = mouldgen("trial", JOB, "--gaps", "0.2", "--out", str(tmp_path))
    assert run.code == 1
    assert "one gap, 0.20 mm; none is laid out" in run.words
    assert "every rung must be fixed first" in run.err
    assert list(tmp_path.iterdir()) == []


def test_beds_are_counted_where_one_is_not_enough(tmp_path: Path) -> None:
    run = mouldgen(
        "trial", JOB, "--gaps", "0.9..1.5", "--steps", "3", "--out", str(tmp_path), "--quiet",
        "--set", "printer.width=105 mm", "--set", "printer.depth=105 mm",
    )  # fmt: skip
    assert run.code == 0
    assert "they do not fit on one bed and take 2, each a bed of 105 x 105 mm" in run.words
    assert "Files" not in run.out


def test_a_priced_resin_is_told_in_money(tmp_path: Path) -> None:
    words = ("--gaps", "0.9", "--set", "resin.price=38 per kg", "--out", str(tmp_path))
    run = mouldgen("trial", JOB, *words)
    (line,) = [line for line in run.out.splitlines() if line.startswith("A ")]
    cells = line.split()
    assert cells[:2] == ["A", "0.90"]
    # 38 for 1000 g, before the two parts are rounded up to the scale's gram.
    assert 0.038 * (float(cells[5]) - 2.0) <= float(cells[6]) <= 0.038 * float(cells[5])
    found = mouldgen("trial", JOB, *words, "--json").json
    assert found["rungs"][0]["resin_cost"] == float(cells[6])


def test_as_json_it_is_the_report(tmp_path: Path) -> None:
    run = mouldgen("trial", JOB, "--around", "--steps", "3", "--out", str(tmp_path), "--json")
    assert run.code == 0
    gaps = [rung["gap_mm"] for rung in run.json["rungs"]]
    assert gaps == [0.53, 0.88, 1.23]
    assert [rung["rung"] for rung in run.json["rungs"]] == ["A", "B", "C"]
    assert run.json["rungs"][1]["voids_expected"] is False
    assert "trial.json" in run.json["files"]


def test_a_job_without_a_gap_has_none_to_go_round(tmp_path: Path) -> None:
    run = mouldgen("trial", JOB, "--around", "--set", "pour.close=50 min", "--out", str(tmp_path))
    assert run.code == 1
    assert "there is none to go round" in run.err


@pytest.mark.parametrize("words", [(), ("--around", "--gaps", "0.6,0.9")])
def test_the_gaps_are_given_once(words: tuple[str, ...]) -> None:
    run = mouldgen("trial", JOB, *words)
    assert run.code == 2
    assert "a trial needs its gaps, once" in run.err


def test_several_moulds_of_each_gap_lie_on_the_beds_and_take_their_resin(tmp_path: Path) -> None:
    words = ("trial", JOB, "--gaps", "0.9,1.2mm", "--out", str(tmp_path), "--json")
    one, three = mouldgen(*words).json, mouldgen(*words, "--each", "3").json

    def bodies(data: dict) -> list[str]:
        return [item["part"] for bed in data["beds"] for item in bed["items"]]

    assert (one["castings_each"], three["castings_each"]) == (1, 3)
    assert sorted(bodies(three)) == sorted(3 * bodies(one))
    assert three["resin_g"] == pytest.approx(3.0 * one["resin_g"])
    assert [file for file in three["files"] if file.startswith("parts/")] == [
        file for file in one["files"] if file.startswith("parts/")
    ]
    told = mouldgen(*words[:-1], "--each", "3")
    assert "2 gaps from A with 0.90 mm to B with 1.20 mm, 3 moulds of each" in told.words
    assert (
        f"    mouldgen log pour {JOB}:1 --moulds 1-6 --gap 1-3=0.90mm --gap 4-6=1.20mm"
        f" --set name={JOB}-trial\n"
    ) in told.out
