"""Out of where a maker is stuck: an answer no list has, a key that must follow, work that lasts."""

from __future__ import annotations

import contextlib
import os
import re
import signal
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from mouldgen.job.presets import shipped_folder

if TYPE_CHECKING:
    from tests.browser.tab import Tab

pytestmark = pytest.mark.heavy


def answered(tab: Tab, number: int, answer: str | None) -> None:
    tab.page.get_by_role("heading", name=f"question {number} of 10").wait_for()
    if answer is not None:
        tab.at("new-answer").fill(answer)
    tab.press("Next")


def test_the_usual_answer_is_chosen_and_one_of_ones_own_is_taken(tab: Tab) -> None:
    tab.press("New job")
    answered(tab, 1, "pulls")
    answered(tab, 2, "12")
    tab.page.get_by_role("heading", name="question 3 of 10").wait_for()
    assert tab.page.get_by_role("radio", name="as usual a rod").is_checked()
    answered(tab, 3, None)

    tab.page.get_by_role("heading", name="question 4 of 10").wait_for()
    tab.at("new-own").fill("block 2 x 3")
    assert tab.at("new-other").is_checked()
    answered(tab, 4, None)

    tab.page.get_by_role("heading", name="question 5 of 10").wait_for()
    tab.refusals = {422}
    tab.at("new-own").fill("0.68")
    answered(tab, 5, None)
    tab.at("new-wrong").filter(has_text='"0.68" has no unit').wait_for()
    assert tab.focused == "new-own"
    assert tab.at("new-own").input_value() == "0.68"
    tab.at("new-own").fill("0.68 g/ml")
    answered(tab, 5, None)
    for number in range(6, 10):
        answered(tab, number, None)
    answered(tab, 10, None)
    tab.page.get_by_role("heading", name="question").wait_for(state="detached")
    assert "cells = [2, 3]" in tab.held["text"]
    assert 'density = "0.68 g/ml"' in tab.held["text"]


def test_a_value_that_is_kept_is_shown_while_another_key_has_to_follow(tab: Tab) -> None:
    tab.whole()
    tab.refusals = {422}
    tab.say("insert.shape", "bar")
    tab.page.locator("#trouble").filter(has_text="a bar has no diameter").wait_for()
    assert 'shape = "bar"' in tab.held["text"]
    assert tab.control("insert.shape").input_value() == "bar"
    tab.page.locator("#part-insert").get_by_role("link", name="what is asked for").wait_for()
    tab.press("Undo").whole()
    assert tab.control("insert.shape").input_value() == "flute"


def test_another_resin_can_be_said_where_no_gap_meets_every_rule(tab: Tab) -> None:
    tab.whole()
    tab.say("resin.card", "casting-urethane-fast").say("pour.close", "60 min").whole()
    tab.page.locator("#stops").filter(has_text="before the mould is closed").wait_for()
    tab.page.locator("#part-resin details.more > summary").click()
    tab.say("pour.close", "14 min").whole()
    tab.control("resin.card").focus()
    tab.say("resin.card", "casting-epoxy-slow").whole()
    assert tab.page.locator("#stops").is_hidden()
    assert tab.focused == "key-resin.card"
    assert tab.page.locator("#part-resin.bare").count() == 0
    assert tab.text("resin.name").startswith("slow casting epoxy")


SECONDS = re.compile(r", [3-9] s")


@contextlib.contextmanager
def held_up(pid: int | None) -> Iterator[None]:
    """A process that does nothing, as one that has too much to do."""
    assert pid is not None
    os.kill(pid, signal.SIGSTOP)
    try:
        yield
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.kill(pid, signal.SIGCONT)


def test_work_that_lasts_says_how_long_and_can_be_stopped(tab: Tab) -> None:
    tab.whole()
    tab.refusals = {503}
    progress = tab.at("progress")
    with held_up(tab.server.served.slow.pid):
        tab.say("mould.gap", "1.35 mm")
        progress.filter(has_text=SECONDS).wait_for()
        progress.get_by_role("button", name="Stop").press("Enter")
        tab.at("trouble").filter(has_text="It was stopped before it was worked out.").wait_for()
    assert progress.is_hidden()
    assert tab.focused == "sheet"
    assert (
        tab.page.locator("#part-pot .again").text_content() == "not worked out: what is asked for"
    )
    assert tab.text("gap.gap_mm") == "1.35 mm"
    tab.press("Try it again").whole()
    assert tab.at("trouble").text_content() == ""


def test_an_edit_that_lasts_can_be_stopped_and_leaves_the_job_as_it_was(tab: Tab) -> None:
    tab.whole()
    text = tab.held["text"]
    tab.control("mould.gap").fill("1.36 mm")
    with held_up(tab.server.served.quick.pid):
        tab.control("mould.gap").press("Enter")
        tab.at("progress").filter(has_text=SECONDS).wait_for()
        tab.at("progress").get_by_role("button", name="Stop").click()
        tab.wrong("mould.gap").filter(has_text="It was stopped").wait_for()
    assert tab.held["text"] == text
    assert tab.control("mould.gap").input_value() == "1.36 mm"
    tab.refusals = {503}
    tab.say("mould.gap", "1.37 mm").whole()
    assert 'gap = "1.37 mm"' in tab.held["text"]


def test_a_file_that_lasts_can_be_stopped(tab: Tab) -> None:
    tab.whole()
    with held_up(tab.server.served.slow.pid):
        tab.press("3MF")
        tab.at("take").filter(has_text=SECONDS).wait_for()
        tab.at("take").get_by_role("button", name="Stop").click()
        tab.at("take").filter(has_text="3MF: stopped.").wait_for()
    assert tab.at("take").get_by_role("button", name="Stop").count() == 0


def test_what_is_wrong_with_a_scan_is_told_as_it_is_put_into_the_folder(
    tab: Tab, tmp_path: Path
) -> None:
    tab.whole()
    whole = (shipped_folder() / "scans" / "burl-knob.stl").read_bytes()
    count = int.from_bytes(whole[80:84], "little") - 3
    files = {
        "good.stl": whole,
        "holed.stl": whole[:80] + count.to_bytes(4, "little") + whole[84:-150],
        "torn.stl": whole[:-7],
        "large.stl": b"",
    }
    tab.page.locator("details.open > summary").click()
    tab.refusals = {422}
    told = tab.page.locator("details.open")
    for name, words in (
        ("good.stl", "good.stl is in the folder. Found: 58.1 mm long"),
        ("holed.stl", "the scan has 1 hole"),
        ("torn.stl", "torn.stl:"),
        ("large.stl", "large.stl is larger than 64 MB."),
    ):
        path = tmp_path / name
        path.write_bytes(files[name])
        if name == "large.stl":
            os.truncate(path, 64_000_001)
        tab.at("scan-file").set_input_files(path)
        told.filter(has_text=words).wait_for()
    there = {path.name for path in tab.server.folder.glob("*.stl")}
    assert there >= {"good.stl", "holed.stl"}
    assert not there & {"torn.stl", "large.stl"}
