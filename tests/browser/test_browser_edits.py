"""Numbers edited where they stand: what depends on them follows, what is wrong is told there."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.tab import by_id
from tests.cli_runs import mouldgen
from tests.demo_set import DEMO

if TYPE_CHECKING:
    from tests.browser.tab import Tab

pytestmark = pytest.mark.heavy

SHIPPED = Path("presets/jobs") / f"{DEMO}.toml"


def test_numbers_and_picture_follow(tab: Tab) -> None:
    tab.whole()
    before, frame = tab.picture(), tab.frame
    tab.say("mould.gap", "1.2 mm")

    assert tab.frame > frame
    assert tab.picture() != before
    sheet = mouldgen("sheet", DEMO, "--set", "mould.gap=1.2 mm", "--json", "--no-castings").json
    texts = {value["id"]: value["text"] for value in sheet["values"]}
    for name in ("gap.gap_mm", "mould.cavity_ml", "mould.net_ml", "mould.level_mm"):
        assert tab.text(name) == texts[name]
    tab.whole()
    for name in ("mould.filament_g", "resin.all.a_g", "calendar.ready", "buy.total"):
        assert tab.text(name) == texts[name]


def test_what_is_not_worked_out_again_is_marked_until_it_is(tab: Tab) -> None:
    tab.whole()
    tab.say("order.pieces", "40")
    marked = tab.page.evaluate(
        """() => [...document.querySelectorAll("section[aria-busy=true]")].map(
             one => one.textContent.includes("being worked out again"))"""
    )
    old = tab.page.locator("data.old").count()
    tab.whole()

    assert len(marked) > 3
    assert all(marked)
    assert old > 20
    assert tab.page.get_by_text("being worked out again").count() == 0


def test_what_is_wrong_stands_beside_its_field_and_what_was_typed_stays(tab: Tab) -> None:
    held, control = tab.held, tab.control("piece.diameter")
    tab.refusals = {422}
    control.fill("thick")
    control.press("Enter")
    wrong = tab.wrong("piece.diameter")
    wrong.wait_for()

    assert wrong.get_attribute("role") == "alert"
    assert (wrong.text_content() or "").startswith('"thick" does not start with a number.')
    assert control.get_attribute("aria-invalid") == "true"
    assert control.get_attribute("aria-describedby") == "wrong-piece.diameter"
    assert control.input_value() == "thick"
    assert tab.held == held
    a, b = control.bounding_box(), wrong.bounding_box()
    assert a is not None
    assert b is not None
    assert 0.0 <= b["y"] - a["y"] < 60.0  # under it or at its side

    control.press("Escape")
    assert wrong.count() == 0
    assert control.get_attribute("aria-invalid") is None
    assert control.input_value() == "26 mm"
    tab.whole()
    assert tab.held == held


def test_steps_back_and_forward_bring_text_and_numbers(tab: Tab) -> None:
    first = tab.held["text"]
    gap = tab.text("gap.gap_mm")
    tab.say("mould.gap", "1.1 mm")
    second = tab.held["text"]
    tab.say("insert.length", "72 mm")
    third = tab.held["text"]
    assert len({first, second, third}) == 3

    tab.press("Undo").shown()
    assert tab.held["text"] == second
    assert tab.text("insert.length") == "70 mm"
    tab.press("Undo").shown()
    assert tab.held["text"] == first
    assert tab.text("gap.gap_mm") == gap
    assert tab.page.get_by_role("button", name="Undo").get_attribute("aria-disabled") == "true"

    tab.page.keyboard.press("Control+y")  # the focus is on a button, so the keys are the page's
    tab.shown()
    assert tab.held["text"] == second
    tab.page.keyboard.press("Control+Shift+z")
    tab.shown()
    assert tab.held["text"] == third
    assert tab.text("insert.length") == "72 mm"
    tab.page.keyboard.press("Control+z")
    tab.shown()
    assert tab.held["text"] == second


def test_an_edit_changes_one_line_of_the_file_and_keeps_every_remark(tab: Tab) -> None:
    kept = tab.server.folder / "kept-remarks.toml"
    shutil.copyfile(SHIPPED, kept)
    before = kept.read_text(encoding="utf-8").splitlines()
    remarks = [line[line.index("#") :] for line in before if "#" in line]
    assert len(remarks) > 10
    tab.opens("kept-remarks.toml")
    tab.say("pour.mix", "5 min")
    tab.press("Save")
    tab.page.get_by_text("saved as kept-remarks.toml", exact=True).wait_for()

    after = kept.read_text(encoding="utf-8").splitlines()
    assert len(after) == len(before)
    changed = [(a, b) for a, b in zip(before, after, strict=True) if a != b]
    assert [re.sub(r"\s*#.*", "", b) for _, b in changed] == ['mix = "5 min"']
    assert [line[line.index("#") :] for line in after if "#" in line] == remarks


def test_an_edit_that_no_gap_fits_is_kept_and_told(tab: Tab) -> None:
    tab.whole()
    tab.say("pour.close", "60 min").whole()

    assert tab.page.locator("#stops").is_visible()
    assert tab.text("gap.first").startswith("No gap meets every rule.")
    assert tab.page.locator("#part-beds table").count() == 0  # what can be said there stays
    tab.press("Undo").whole()
    assert not tab.page.locator("#stops").is_visible()
    assert tab.page.locator("#part-beds table").first.is_visible()


def test_colours_are_added_named_and_taken_away(tab: Tab) -> None:
    tab.whole()
    tab.page.locator("#part-order details.more > summary").click()
    tab.press("Another colour").shown()
    tab.whole()
    assert tab.held["text"].count("[[colour]]") == 2
    tab.say("colour.2.name", "amber").whole()
    assert 'name = "amber"' in tab.held["text"]
    assert tab.page.locator(by_id("colour.1.name")).text_content() == "amber"
    tab.press("Without colour amber").whole()
    assert tab.held["text"].count("[[colour]]") == 1
