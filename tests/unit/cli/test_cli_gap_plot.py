"""``mouldgen gap`` ends in a plot of its bounds, and draws them when asked."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import pytest

from tests.cli_runs import mouldgen

JOB = "boathouse-pegs"
CONFLICT = ("--set", "pour.close=60 min")  # the resin has gelled by then


def plotted(told: dict[str, Any]) -> list[str]:
    """The rules with a place in a plot: not advice that names no gap."""
    return [
        bound["rule"]
        for bound in told["bounds"]
        if bound["kind"] != "advice" or bound["value_mm"] is not None
    ]


def test_the_plot_follows_the_table_with_a_row_for_each_rule() -> None:
    run = mouldgen("gap", JOB)
    told = mouldgen("gap", JOB, "--json").json

    blocks = run.out.split("\n\n")
    at = next(i for i, block in enumerate(blocks) if block.lstrip().startswith("| gap"))
    rows = blocks[at].splitlines()
    assert blocks[at - 1].startswith("rule ")
    assert rows[0].split() == ["|", "gap", f"{told['gap_mm']:.2f}", "mm"]
    assert [row.split()[0] for row in rows[1:-2]] == plotted(told)
    assert rows[-1].endswith(" mm")
    assert blocks[at + 1].startswith("# too narrow for the rule, / too wide,")
    column = rows[0].index("|")
    assert {row[column] for row in rows[1:-2]} <= {"|", "o"}


def test_a_conflict_is_plotted_without_a_gap() -> None:
    run = mouldgen("gap", JOB, *CONFLICT)

    assert run.code == 1
    assert "no gap is free of bars" in run.out
    assert any(line.startswith("air ") and line.endswith("####  none") for line in
               run.out.splitlines())  # fmt: skip


def test_quiet_has_no_plot() -> None:
    assert "too narrow" not in mouldgen("gap", JOB, "--quiet").out


@pytest.mark.parametrize("words", [(), CONFLICT], ids=["gap", "conflict"])
def test_a_picture_is_drawn_when_asked_for(tmp_path: Path, words: tuple[str, ...]) -> None:
    run = mouldgen("gap", JOB, "--pictures", "--out", str(tmp_path), *words)
    told = mouldgen("gap", JOB, "--json", *words).json

    path = tmp_path / JOB / "plots/gap.svg"
    texts = [t.text for t in ET.parse(path).getroot().iter("{http://www.w3.org/2000/svg}text")]
    assert run.words.endswith(f"Picture: {path.as_posix()}")
    assert set(plotted(told)) <= set(texts)
    if words:
        assert texts[0] == f"{JOB}: why there is no gap"
    else:
        assert texts[0] == f"{JOB}: the gap is set by {told['set_by']}"
        assert f"gap {told['gap_mm']:.2f} mm" in texts


def test_json_names_the_picture_and_is_the_same_otherwise(tmp_path: Path) -> None:
    plain = mouldgen("gap", JOB, "--json")
    drawn = mouldgen("gap", JOB, "--json", "--pictures", "--out", str(tmp_path))

    assert drawn.json == {**plain.json, "files": ["plots/gap.svg"]}
    assert (drawn.code, drawn.err) == (0, "")


def test_a_folder_that_cannot_be_written_is_the_surroundings(tmp_path: Path) -> None:
    (tmp_path / JOB).write_text("mine")
    run = mouldgen("gap", JOB, "--pictures", "--out", str(tmp_path))

    assert (run.code, run.out) == (3, "")
    assert "is a file where a folder should go. Move it away" in run.err
