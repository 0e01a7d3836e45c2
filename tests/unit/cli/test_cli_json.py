"""``--json`` is one JSON object on standard output and nothing else there."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli_runs import mouldgen

JOB = "boathouse-pegs"
CONFLICT = ("--set", "pour.close=60 min")  # the resin has gelled by then
STOPPED = ("--set", "mould.gap=0.3 mm")  # less than inserts and printer take up


@pytest.mark.parametrize(
    ("words", "keys"),
    [
        (
            ["gap", JOB],
            ["gap_mm", "set_by", "measured_least_mm", "take_up_mm", "bounds", "conflict",
             "sequence", "remedies", "learned"],
        ),
        (
            ["resin", JOB],
            ["job", "moulds", "per_mould_ml", "density_g_ml", "b_per_100_a", "scale_g", "one",
             "all", "mixing", "learned"],
        ),
        (["beds", JOB], ["job", "moulds", "least_beds", "beds"]),
    ],
)  # fmt: skip
def test_commands_that_write_nothing(words: list[str], keys: list[str], tmp_path: Path) -> None:
    run = mouldgen(*words, "--json")

    assert run.code == 0
    assert list(run.json) == [*keys, "version", "fingerprint"]
    assert run.err == ""


def test_beds_say_how_each_part_is_turned() -> None:
    """As the report of a build does: a rectangle or polygon lies nowhere without its turn."""
    beds = mouldgen("beds", JOB, "--json").json["beds"]

    items = [item for bed in beds for item in bed["items"]]
    assert {tuple(item) for item in items} == {("part", "x_mm", "y_mm", "turned")}
    assert {item["turned"] for item in items} == {False}  # rounds are never turned


@pytest.mark.parametrize("command", [["build", JOB], ["demo"]])
def test_building_gives_the_report_that_it_writes(command: list[str], tmp_path: Path) -> None:
    run = mouldgen(*command, "--json", "--out", str(tmp_path))

    folder = tmp_path / JOB
    written = {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}
    assert run.code == 0
    assert run.err == ""
    assert set(run.json["files"]) == written
    assert run.json == __import__("json").loads((folder / "report.json").read_text("utf-8"))
    assert {f for f in written if f.endswith(".png")} == (
        {"set-apart.png", "set-section.png"} if command == ["demo"] else set()
    )


def test_a_check(tmp_path: Path) -> None:
    mouldgen("build", JOB, "--out", str(tmp_path), "--quiet")
    lid = tmp_path / JOB / "parts" / "lid.3mf"
    gone = tmp_path / "gone.stl"

    run = mouldgen("check", str(lid), str(gone), "--json")

    (solid,) = run.json["solids"]
    assert run.code == 2
    assert (solid["file"], solid["name"], solid["closed"]) == (str(lid), "lid", True)
    # Three vents and a port go through the lid.
    assert (solid["genus"], solid["shells"], solid["findings"]) == (4, 1, [])
    assert [missed["file"] for missed in run.json["not_read"]] == [str(gone)]


@pytest.mark.parametrize("command", ["gap", "resin", "beds", "build"])
def test_a_conflict(command: str, tmp_path: Path) -> None:
    out = ("--out", str(tmp_path)) if command == "build" else ()
    run = mouldgen(command, JOB, "--json", *CONFLICT, *out)

    assert run.code == 1
    assert isinstance(run.json, dict)
    assert not any(tmp_path.iterdir())


def test_a_set_that_must_be_fixed_is_told_and_not_written(tmp_path: Path) -> None:
    run = mouldgen("build", JOB, "--json", *STOPPED, "--out", str(tmp_path))

    assert run.code == 1
    assert run.json["files"] == []
    assert "gap.take-up" in {f["id"] for f in run.json["findings"] if f["severity"] == "stop"}
    assert run.err.startswith(f"{JOB}: nothing was written, because something must be fixed")
    assert not any(tmp_path.iterdir())


def test_the_schema_is_json_too() -> None:
    assert mouldgen("schema").json["title"] == "mouldgen job file"
