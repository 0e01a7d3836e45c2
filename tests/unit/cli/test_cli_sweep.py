"""``gap --sweep``: its rows are what ``gap --set`` answers, in the CSV, as JSON and in words."""

from __future__ import annotations

import csv
import io
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from tests.cli_runs import Run, mouldgen

JOB = "boathouse-pegs"
CLOSE = "pour.close=10 min..60 min"  # at 60 min the resin has gelled


def sweep(out: Path, text: str, *words: str) -> Run:
    return mouldgen("gap", JOB, "--sweep", text, "--out", str(out), *words)


def table(path: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(path.read_text("utf-8"))))


def test_every_row_is_what_the_job_itself_answers(tmp_path: Path) -> None:
    run = sweep(tmp_path, "pour.shop=15 C..36 C", "--steps", "3", "--json")

    assert (run.code, run.err) == (0, "")
    assert list(run.json) == [
        "job", "key", "unit", "rows", "files", "version", "fingerprint",
    ]  # fmt: skip
    assert (run.json["job"], run.json["key"], run.json["unit"]) == (JOB, "pour.shop", "C")
    assert [row["value"] for row in run.json["rows"]] == [15, 25.5, 36]
    for row in run.json["rows"]:
        alone = mouldgen("gap", JOB, "--json", "--set", f"pour.shop={row['value']:g} C").json
        assert row["gap_mm"] == alone["gap_mm"]
        assert row["set_by"] == (alone["set_by"] if alone["gap_mm"] else None)
        assert row["bounds_mm"] == {b["rule"]: b["value_mm"] for b in alone["bounds"]}
        assert row["reason"] == alone["conflict"]


def test_the_csv_holds_the_same(tmp_path: Path) -> None:
    run = sweep(tmp_path, "pour.shop=15 C..24 C", "--steps", "4", "--json")
    rows = table(tmp_path / JOB / "plots/sweep-pour-shop.csv")

    head = list(rows[0])
    assert head[:4] == ["value", "unit", "gap_mm", "set_by"]
    assert head[-5:] == ["net_ml", "resin_g", "reason", "fingerprint", "version"]
    assert head[4:-5] == [f"{rule}_mm" for rule in run.json["rows"][0]["bounds_mm"]]
    for row, data in zip(rows, run.json["rows"], strict=True):
        assert (float(row["value"]), row["unit"]) == (data["value"], "C")
        assert (float(row["gap_mm"]), row["set_by"]) == (data["gap_mm"], data["set_by"])
        assert float(row["net_ml"]) == data["net_ml"]
        assert float(row["resin_g"]) == data["resin_g"]
        for rule, value in data["bounds_mm"].items():
            # What does not bind is inf in the CSV, which JSON does not have.
            assert row[f"{rule}_mm"] in ({"", "inf"} if value is None else {f"{value:.4f}"})


def test_resin_is_that_of_one_mould_with_loss_for_all(tmp_path: Path) -> None:
    row = sweep(tmp_path, "mould.gap=1 mm..2 mm", "--steps", "2", "--json").json["rows"][0]
    told = mouldgen("resin", JOB, "--json", "--set", "mould.gap=1 mm").json

    # Less what fills vent grooves and pips, which only the solids know; rounded up to a gram each.
    assert row["set_by"] == "you"
    assert row["net_ml"] * 22 * 1.1 * told["density_g_ml"] < row["resin_g"] < (
        told["all"]["total_g"] + 2
    )  # fmt: skip


def test_a_range_in_which_no_gap_is_left(tmp_path: Path) -> None:
    run = sweep(tmp_path, CLOSE, "--steps", "3")
    rows = table(tmp_path / JOB / "plots/sweep-pour-close.csv")

    assert run.code == 0
    assert run.words.startswith("Over pour.close from 10 min to 60 min the gap is narrowest at")
    assert "No gap meets every rule at 60 min." in run.words
    assert (rows[-1]["gap_mm"], rows[-1]["air_mm"], rows[-1]["resin_g"]) == ("", "", "")
    assert rows[-1]["reason"].startswith("At this temperature the resin gels 53 min after")
    lines = [line.split() for line in run.out.splitlines()]
    assert ["pour.close", "min", "gap", "mm", "net", "ml", "resin", "g", "set", "by"] in lines
    assert ["60", "no", "gap:", "air"] in lines
    assert run.out.splitlines()[-1].split() == [
        "plots/", "sweep-pour-close.csv", "sweep-pour-close.svg",
    ]  # fmt: skip


def test_a_value_at_which_the_job_is_refused_has_the_reason(tmp_path: Path) -> None:
    run = sweep(tmp_path, "pour.mix=6 min..20 min", "--steps", "3")
    rows = table(tmp_path / JOB / "plots/sweep-pour-mix.csv")

    # Mixing is to end before the pot is closed at 14 min.
    assert run.code == 0
    assert "At 20 min the job is refused: --set [pour] mix: mixing takes 20 min" in run.words
    assert [row["reason"] == "" for row in rows] == [True, True, False]
    assert rows[-1]["reason"].startswith("--set [pour] mix: mixing takes 20 min, and the pot")
    assert {rows[-1][key] for key in rows[-1] if key.endswith("_mm")} == {""}


@pytest.mark.parametrize(
    ("text", "code", "says"),
    [
        ("pour.close=54 min..60 min", 1, "no gap meets every rule."),
        ("pour.mix=20 min..40 min", 2, "mixing takes 20 min"),
    ],
)
def test_where_no_value_has_a_gap(tmp_path: Path, text: str, code: int, says: str) -> None:
    run = sweep(tmp_path, text, "--steps", "2")

    assert run.code == code
    assert says in " ".join((run.out + run.err).split())
    assert any(tmp_path.iterdir()) == (code == 1)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--sweep", "pour.shap=1..2"], "--sweep [pour] shap: there is no key shap"),
        (["--sweep", "pour.shop=15 C"], '--sweep: "15 C" does not go from one value to another.'),
        (["--sweep", "pour.shop=15 C..3 mm"], "--sweep pour.shop:"),
        (["--steps", "5"], "--steps does not go without --sweep."),
        (["--sweep", "pour.shop=1 C..2 C", "--steps", "1"], "Invalid value for '--steps'"),
    ],
)
def test_wrong_words_are_one_paragraph_and_write_nothing(
    tmp_path: Path, words: list[str], says: str
) -> None:
    run = mouldgen("gap", JOB, "--out", str(tmp_path), *words)

    assert (run.code, run.out) == (2, "")
    assert run.err.startswith(says)
    assert run.err.count("\n") == 1
    assert not any(tmp_path.iterdir())


def test_the_picture_shows_the_unit_as_written(tmp_path: Path) -> None:
    sweep(tmp_path, "insert.length=2 in..3 in", "--steps", "3", "--quiet")

    root = ET.parse(tmp_path / JOB / "plots/sweep-insert-length.svg").getroot()
    words = [text.text for text in root.iter("{http://www.w3.org/2000/svg}text")]
    assert words[0] == f"{JOB}: the gap over insert.length"
    assert "insert.length, in" in words
    assert {"gap", "slide", "push"} <= set(words)


def test_quiet_is_the_sentence_and_the_files(tmp_path: Path) -> None:
    run = sweep(tmp_path, "pour.shop=15 C..30 C", "--steps", "3", "--quiet")

    assert "set by" in run.words
    assert "gap mm" not in run.words
    assert run.out.splitlines()[-2].split() == ["Files", f"{(tmp_path / JOB).as_posix()}/"]


def test_a_long_sweep_is_thinned_on_the_terminal_only(tmp_path: Path) -> None:
    run = sweep(tmp_path, "pour.shop=15 C..25 C", "--steps", "41")

    values = [
        line.split()[0] for line in run.out.splitlines() if line.split()[-1:] in (["push"], ["air"])
    ]
    assert (len(values), values[0], values[-1]) == (25, "15", "25")
    assert len(table(tmp_path / JOB / "plots/sweep-pour-shop.csv")) == 41


def test_names_of_files_have_no_dots_or_underscores_inside(tmp_path: Path) -> None:
    run = sweep(tmp_path, "insert.flute_area=0.1..0.3", "--steps", "2", "--json")

    assert run.json["files"] == [
        "plots/sweep-insert-flute-area.csv", "plots/sweep-insert-flute-area.svg",
    ]  # fmt: skip


def test_an_earlier_set_stays(tmp_path: Path) -> None:
    folder = tmp_path / JOB
    folder.mkdir()
    (folder / "report.json").write_text("{}")

    run = sweep(tmp_path, "pour.shop=15 C..30 C", "--steps", "2", "--pictures", "--json")

    plots = ["plots/sweep-pour-shop.csv", "plots/sweep-pour-shop.svg", "plots/gap.svg"]
    assert run.json["files"] == plots
    files = {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}
    assert files == {"report.json", *plots}
