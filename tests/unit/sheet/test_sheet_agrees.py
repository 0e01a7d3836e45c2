"""What the job sheet says once, as the other commands say it, and to a calliper's digits."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli_runs import Run, mouldgen

JOB = "boathouse-pegs"
COARSE = ("--set", "shop.scale=1 g")  # small mixes are topped up, which buying tells as well


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    folder: Path = tmp_path_factory.mktemp("out")
    readings = '["1.17 in", "1.175 in", "1.181 in"]'
    told: Run = mouldgen(
        "sheet", JOB, "--json", "--out", str(folder), *COARSE,
        "--set", "unit=in", "--set", f"insert.measured={readings}",
    )  # fmt: skip
    return {value["id"]: value["text"] for value in told.json["values"]}


def test_a_finding_of_mixing_and_of_buying_stands_once(sheet: dict[str, str]) -> None:
    found = [text for name, text in sheet.items() if name.startswith("finding.")]
    assert sum("mixes are topped up" in text for text in found) == 1
    assert len(found) == len(set(found))


def test_the_pot_takes_what_the_pot_command_says(sheet: dict[str, str]) -> None:
    assert f"the pot takes {sheet['pot.takes']} at once" in mouldgen("pot", JOB).words


def test_readings_keep_the_digits_of_a_calliper(sheet: dict[str, str]) -> None:
    """1.17 in is 29.718 mm and 1.181 in is 29.9974 mm; in sixty-fourths they would be alike."""
    assert (
        sheet["insert.measured"] == "29.72 mm (1.170 in), 29.84 mm (1.175 in), 30.00 mm (1.181 in)"
    )
