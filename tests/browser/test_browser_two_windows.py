"""Two windows do not disturb each other, a reload loses nothing, no file is written over."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.demo_set import DEMO

if TYPE_CHECKING:
    from tests.browser.tab import Tab, Tabs

pytestmark = pytest.mark.heavy

SHIPPED = Path("presets/jobs") / f"{DEMO}.toml"


def test_edits_of_one_window_never_show_in_the_other(tabs: Tabs) -> None:
    one = tabs().open()
    other = tabs.beside(one).open()
    assert one.held == other.held
    text = one.held["text"]
    # Edits by turns, so that the server works for both at once.
    for k in range(3):
        one.say("mould.gap", f"{1.0 + 0.1 * k:.1f} mm")
        other.say("insert.length", f"{71 + k} mm")
    one.whole()
    other.whole()

    assert one.text("gap.gap_mm") == "1.20 mm"
    assert one.text("insert.length") == "70 mm"
    assert other.text("gap.gap_mm") != "1.20 mm"
    assert other.text("insert.length") == "73 mm"
    changed = [a for a, b in zip(text.splitlines(), one.held["text"].splitlines(), strict=True)
               if a != b]  # fmt: skip
    assert [line.split(" =")[0] for line in changed] == ["gap"]
    # An edit of one does not stop the work of the other.
    one.say("mould.gap", "1.3 mm")
    other.say("insert.length", "74 mm")
    one.whole()
    other.whole()
    assert (one.text("insert.length"), other.text("insert.length")) == ("70 mm", "74 mm")


def test_a_reload_loses_nothing(tab: Tab) -> None:
    first = tab.held["text"]
    tab.say("mould.gap", "1.1 mm")
    tab.say("insert.length", "72 mm").whole()
    held, shown = tab.held, tab.text("mould.net_ml")
    tab.page.reload()
    tab.whole()

    assert tab.held == held
    assert tab.text("mould.net_ml") == shown
    assert tab.text("gap.gap_mm") == "1.10 mm"
    tab.press("Undo").shown()
    tab.press("Undo").shown()
    assert tab.held["text"] == first


def test_a_reload_in_the_middle_of_the_work_loses_nothing(tab: Tab) -> None:
    tab.control("order.pieces").fill("25")
    tab.control("order.pieces").press("Enter")
    tab.shown()
    tab.page.reload()  # the rest of it is still under way
    tab.whole()
    assert tab.text("order.pieces") == "25"


def test_the_second_to_save_one_file_is_asked(tabs: Tabs) -> None:
    one = tabs().open()
    shared = one.server.folder / "shared.toml"
    shutil.copyfile(SHIPPED, shared)
    other = tabs.beside(one).open()
    for tab in (one, other):
        tab.opens("shared.toml")
    one.say("mould.gap", "1.1 mm")
    one.press("Save")
    one.page.get_by_text("saved as shared.toml", exact=True).wait_for()
    first = shared.read_text(encoding="utf-8")
    assert first == one.held["text"]

    other.refusals = {409}
    other.say("insert.length", "73 mm")
    other.press("Save")
    over = other.page.get_by_role("button", name="Save over it")
    over.wait_for()
    told = other.page.get_by_role("alert").filter(has=over)
    assert "shared.toml" in (told.text_content() or "")
    assert shared.read_text(encoding="utf-8") == first

    over.click()
    other.page.get_by_text("saved as shared.toml", exact=True).wait_for()
    assert shared.read_text(encoding="utf-8") == other.held["text"]
    assert one.held["text"] == first  # the first window still has its own


def test_a_new_name_does_not_write_over_a_file_that_is_there(tab: Tab) -> None:
    there = tab.server.folder / "there-already.toml"
    there.write_text("# somebody's\n", encoding="utf-8")
    tab.refusals = {409}
    tab.press("Save")
    tab.at("save-as").fill("there-already")
    tab.press("Save under this name")
    tab.page.get_by_role("button", name="Save over it").wait_for()
    assert there.read_text(encoding="utf-8") == "# somebody's\n"
    assert tab.held["name"] == ""
