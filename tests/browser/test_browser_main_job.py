"""From an empty page to files that print: ten questions, the numbers, the saved job, the zip."""

from __future__ import annotations

import io
import json
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.cli_runs import mouldgen

if TYPE_CHECKING:
    from tests.browser.tab import Tab

pytestmark = pytest.mark.heavy

NAME = "net-needles"
# The answer to each question, in order; empty takes what is usual.
ANSWERS = ("net needles", "12", "rod", "cup", "white ash", "22 mm x 90 mm", "26 mm x 100 mm",
           "25.8, 26.1, 26.0 mm", "casting-epoxy-slow", "amber 60, clear 40")  # fmt: skip


def answer_all(tab: Tab) -> None:
    for number, answer in enumerate(ANSWERS, 1):
        tab.page.get_by_role("heading", name=f"question {number} of 10").wait_for()
        if (choice := tab.page.locator(f'.new input[value="{answer}"]')).count():
            choice.check()
        else:
            tab.at("new-answer").fill(answer)
        tab.press("Next")


def unpacked(data: bytes, folder: Path) -> Path:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
        archive.extractall(folder)
    return folder / NAME


def test_from_ten_questions_to_files_that_print(tab: Tab, tmp_path: Path) -> None:
    tab.press("New job")
    answer_all(tab)
    tab.page.get_by_role("heading", name="question").wait_for(state="detached")
    tab.whole()
    assert tab.text("title") == NAME
    assert tab.text("order.pieces") == "12"

    tab.press("Save")
    tab.press("Save under this name")
    tab.page.get_by_text(f"saved as {NAME}.toml", exact=True).wait_for()
    saved = tab.server.folder / f"{NAME}.toml"
    assert saved.read_text(encoding="utf-8") == tab.held["text"]

    with tab.page.expect_download() as coming:
        tab.press("All of it")
    assert coming.value.suggested_filename == f"{NAME}.zip"
    made = unpacked(Path(coming.value.path()).read_bytes(), tmp_path)

    solids = sorted(str(at) for at in made.rglob("*.stl"))
    assert {Path(at).name for at in solids} >= {"body.stl", "lid.stl", "bed-1.stl"}
    checked = mouldgen("check", *solids)
    assert (checked.code, checked.err) == (0, "")

    gap = mouldgen("gap", str(saved), "--json", "--no-castings").json
    report = json.loads((made / "report.json").read_text(encoding="utf-8"))
    assert report["gap"]["gap_mm"] == gap["gap_mm"]
    assert tab.at("gap.gap_mm").get_attribute("value") == f"{gap['gap_mm']}"
    assert (made / f"{NAME}.toml").read_bytes() == saved.read_bytes()


def test_a_wrong_answer_is_told_beside_it_and_stays(tab: Tab) -> None:
    tab.press("New job")
    tab.at("new-answer").fill("pegs")
    tab.press("Next")
    tab.page.get_by_role("heading", name="question 2 of 10").wait_for()
    tab.refusals = {422}
    tab.at("new-answer").fill("many")
    tab.press("Next")

    told = tab.at("new-wrong").filter(has_text="not a number of pieces")
    told.wait_for()
    assert told.get_attribute("role") == "alert"
    assert "new-wrong" in (tab.at("new-answer").get_attribute("aria-describedby") or "").split()
    assert tab.at("new-answer").input_value() == "many"
    assert tab.focused == "new-answer"
