"""A ladder of gaps: each rung has its own gap, on the solids too, its letter and its rules."""

from __future__ import annotations

import csv
import io
import json
from functools import cache
from pathlib import Path

import pytest

from mouldgen.errors import JobError, NoAnswerError
from mouldgen.files.trial_report import trial_csv, trial_data
from mouldgen.files.write_trial import write_trial
from mouldgen.job.shop_tables import Extras
from mouldgen.solid.stl import read_stl
from mouldgen.solid.threemf import read_3mf
from mouldgen.trial import Trial, run_trial
from tests.demo_set import job_with

GAPS = (0.6, 0.75, 0.9, 1.05, 1.2)
NAME = "boathouse-pegs-trial"


@cache
def five() -> Trial:
    return run_trial(job_with(), GAPS[::-1])


@cache
def with_a_narrow_one() -> Trial:
    return run_trial(job_with(), (0.3, 0.9))


def write(trial: Trial, out: Path) -> tuple[Path, ...]:
    return write_trial(trial, out=out, bed_pictures=["<svg/>"] * len(trial.beds))


def test_five_rungs_of_the_demo_have_their_gaps_and_lie_on_one_bed() -> None:
    trial = five()
    assert [rung.letter for rung in trial.rungs] == list("ABCDE")
    assert [rung.gap_mm for rung in trial.rungs] == list(GAPS)
    (bed,) = trial.beds
    assert sorted(item.part for item in bed.items) == sorted(
        f"{letter}-{part}" for letter in "ABCDE" for part in ("body", "lid")
    )
    assert not bed.first_mould
    assert trial.made == trial.rungs
    assert not trial.stopped


@pytest.mark.parametrize("index", range(5))
def test_the_gap_of_each_rung_is_measured_on_its_solids(index: int) -> None:
    rung = five().rungs[index]
    # The bore is drawn round its circle and the envelope in its own, facet to facet.
    assert GAPS[index] <= rung.found.measured_least_mm <= GAPS[index] + 0.011


def test_each_rung_is_lettered_with_its_letter_and_its_gap() -> None:
    for rung in five().rungs:
        plan = rung.found.plan
        ends = f"{rung.gap_mm:.2f}"
        assert plan.body_label.text.startswith(f"{rung.letter} BP-")
        assert plan.body_label.text.endswith(ends)
        assert plan.lid_label.text == f"{rung.letter} {ends}"


def test_narrow_rungs_break_the_rules_that_ask_for_more_and_wide_ones_none() -> None:
    broken = [[bound.rule for bound in rung.broken] for rung in five().rungs]
    assert broken == [["slide", "air", "turn"], ["air", "turn"], [], [], []]
    for rung in five().rungs:
        for bound in rung.bounds:
            if bound.kind == "at_least" and bound.value_mm is not None:
                assert (bound in rung.broken) == (rung.gap_mm < bound.value_mm)
    assert [bool(rung.voids) for rung in five().rungs] == [True, True, False, False, False]
    assert [f.id for f in five().rungs[0].voids] == ["gap.air"]


def test_rungs_are_judged_for_the_whole_order_and_weighed_for_one_mould() -> None:
    nets = [rung.found.amounts.net_ml for rung in five().rungs]
    assert nets == sorted(nets)
    # 1.05 against 0.90: a cylinder shell of 0.15 mm, 80 mm high.
    assert nets[3] - nets[2] == pytest.approx(3.14159265 * 80 * (16.05**2 - 15.9**2) / 1000)
    one = [rung.found.amounts.one.total_g for rung in five().rungs]
    assert five().resin_g == sum(one)
    assert all(rung.found.answer.moulds == 22 for rung in five().rungs)


def test_a_gap_that_makes_no_mould_is_kept_out_and_leaves_the_letters() -> None:
    trial = with_a_narrow_one()
    assert [rung.letter for rung in trial.kept_out] == ["A"]
    assert [rung.letter for rung in trial.made] == ["B"]
    assert {item.part for bed in trial.beds for item in bed.items} == {"B-body", "B-lid"}
    assert trial.stopped


def test_files_of_a_trial_and_what_its_report_says(tmp_path: Path) -> None:
    files = write(five(), tmp_path)
    folder = tmp_path / NAME
    written = {path.relative_to(folder).as_posix() for path in files}
    parts = [f"{letter}-{part}" for letter in "ABCDE" for part in ("body", "lid")]
    assert written == {
        *(f"parts/{part}.{ending}" for part in parts for ending in ("stl", "3mf")),
        *(f"beds/bed-1.{ending}" for ending in ("stl", "3mf", "svg")),
        "trial.csv",
        "trial.json",
    }
    report = json.loads((folder / "trial.json").read_text())
    assert set(report["files"]) == written
    assert [rung["gap_mm"] for rung in report["rungs"]] == list(GAPS)
    assert [rung["voids_expected"] for rung in report["rungs"]] == [True, True, False, False, False]
    first = report["rungs"][0]
    assert first["voids_because"] == ["gap.air"]
    assert {r["rule"]: r["says"] for r in first["rules"]}["air"] == "broken"
    assert {r["rule"]: r["says"] for r in first["rules"]}["push"] == "met"
    assert {part["genus"] for part in first["parts"]} == {0, 4}
    assert all((folder / part["file_stl"]).is_file() for part in first["parts"])

    bed = five().beds[0]
    whole = read_stl((folder / "beds/bed-1.stl").read_bytes(), name="bed-1.stl")
    meshes = {part.name: part.mesh for part in five().parts}
    assert len(whole.triangles) == sum(len(meshes[item.part].triangles) for item in bed.items)
    objects = read_3mf((folder / "beds/bed-1.3mf").read_bytes(), name="bed-1.3mf")
    assert sorted(name for name, _ in objects) == sorted(parts)


def test_the_table_has_a_line_a_rung_with_every_rule() -> None:
    rows = list(csv.DictReader(io.StringIO(trial_csv(with_a_narrow_one()))))
    assert [(row["rung"], row["gap_mm"], row["printed"]) for row in rows] == [
        ("A", "0.3", "no"), ("B", "0.9", "yes"),
    ]  # fmt: skip
    assert [row["air_says"] for row in rows] == ["broken", "met"]
    assert [row["habit_says"] for row in rows] == ["advice", "advice"]
    assert [row["voids"] for row in rows] == ["expected", "not expected"]
    assert float(rows[0]["air_mm"]) == pytest.approx(0.8794, abs=0.01)
    assert rows[1]["heat_mm"] == "inf"
    assert "will not enter the mould" in rows[0]["must_fix"]
    assert rows[1]["must_fix"] == ""
    resin = with_a_narrow_one().rungs[1].found.amounts
    assert (float(rows[1]["net_ml"]), float(rows[1]["resin_g"]), float(rows[1]["resin_all_g"])) == (
        pytest.approx(resin.net_ml, abs=1e-3), resin.one.total_g, resin.total_g,
    )  # fmt: skip


def test_a_later_trial_replaces_its_own_files_and_no_others(tmp_path: Path) -> None:
    write(five(), tmp_path)
    (tmp_path / NAME / "notes.txt").write_text("C had two voids")
    files = write(with_a_narrow_one(), tmp_path)
    left = {
        path.relative_to(tmp_path / NAME).as_posix()
        for path in (tmp_path / NAME).rglob("*")
        if path.is_file()
    }
    assert left == {p.relative_to(tmp_path / NAME).as_posix() for p in files} | {"notes.txt"}
    assert not list((tmp_path / NAME / "parts").glob("A-*"))


def test_asked_for_anyway_it_is_printed_and_says_so_in_its_names(tmp_path: Path) -> None:
    trial = run_trial(job_with(), (0.3, 0.9), anyway=True)
    names = {path.name for path in write(trial, tmp_path)}
    assert {"A-body-MUST-FIX.stl", "B-body.stl", "bed-1-MUST-FIX.3mf"} <= names
    assert trial_data(trial)["beds"][0]["file_stl"] == "beds/bed-1-MUST-FIX.stl"
    assert trial.kept_out == ()


def test_where_every_rung_must_be_fixed_nothing_is_written(tmp_path: Path) -> None:
    trial = run_trial(job_with(), (0.1, 0.2))
    assert (trial.made, trial.beds) == ((), ())
    with pytest.raises(NoAnswerError, match="every rung must be fixed first"):
        write(trial, tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_rungs_that_do_not_fit_on_one_bed_take_the_fewest() -> None:
    small = {"width": 105.0, "depth": 105.0}
    trial = run_trial(job_with(printer=small), (0.9, 1.2, 1.5))
    # Four rounds of 36 to 40 mm go on 95 x 95 mm, six do not.
    assert [len(bed.items) for bed in trial.beds] == [4, 2]


def test_extras_of_the_job_are_left_out() -> None:
    extras = Extras(catch_moulds=3)
    trial = run_trial(job_with().model_copy(update={"extras": extras}), (0.9,))
    assert [part.name for part in trial.parts] == ["A-body", "A-lid"]


@pytest.mark.parametrize(
    ("gaps", "told"),
    [
        ((), "a trial of 0 gaps has no letter for each. Allowed: 1 to 26 gaps"),
        (tuple(1 + i / 10 for i in range(27)), "a trial of 27 gaps"),
        ((0.9, 0.901), "two gaps would both be lettered 0.90 mm"),
        ((0.0, 1.0), "a gap of 0 mm is none"),
    ],
)
def test_gaps_that_make_no_ladder_are_refused(gaps: tuple[float, ...], told: str) -> None:
    with pytest.raises(JobError, match=told):
        run_trial(job_with(), gaps)


def test_a_rung_that_cannot_be_worked_is_named() -> None:
    with pytest.raises(JobError, match=r"gap 0.90 mm: .*fill"):
        run_trial(job_with(mould={"fill": 1.0}), (0.9,))
