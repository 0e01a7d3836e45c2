"""The whole job with the keyboard alone: where the focus goes, that it is seen, that it stays."""

from __future__ import annotations

import json
import zipfile
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.browser.tab import Tab

pytestmark = pytest.mark.heavy

NAME = "chair-spindles"
ANSWERS = (
    "chair spindles",
    "8",
    0,
    0,
    12,
    "30 mm x 110 mm",
    "34 mm x 120 mm",
    "33.8, 34.1, 34.0 mm",
    2,
    "",
)  # numbers: how often the arrow goes down, from what is usual
HERE = """() => {
  const one = document.activeElement, style = getComputedStyle(one);
  const box = one.getBoundingClientRect();
  return {
    id: one.id, tag: one.localName, words: (one.textContent ?? "").trim(), value: one.value ?? "",
    name: one.getAttribute("aria-label") ?? "", seen: one.matches(":focus-visible"),
    outline: style.outlineStyle === "none" ? 0 : parseFloat(style.outlineWidth),
    wide: box.width, high: box.height,
    inside: box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth,
  };
}"""
MOST_STOPS = 400


class Keys:
    """Goes from stop to stop with the Tab key and looks at each."""

    def __init__(self, tab: Tab) -> None:
        self.tab = tab
        self.board = tab.page.keyboard
        self.poor: list[object] = []

    def to(self, words: str, *, back: bool = False) -> None:
        """Go on until the focus is on what is called so, by its text or its id."""
        for _ in range(MOST_STOPS):
            self.board.press("Shift+Tab" if back else "Tab")
            here = self.tab.page.evaluate(HERE)
            if here["tag"] == "body":
                continue  # the browser's own controls, then round again
            shown = here["seen"] and here["outline"] >= 2.0 and here["inside"]
            if not (shown and here["wide"] > 4.0 and here["high"] > 4.0):
                self.poor.append(here)
            if words in {here["words"], here["id"]}:
                return
        pytest.fail(f"{words} is not reached by Tab")


def test_the_whole_job_without_a_mouse(tab: Tab) -> None:
    keys = Keys(tab)
    keys.to("New job")
    keys.board.press("Enter")
    for number, answer in enumerate(ANSWERS, 1):
        tab.page.get_by_role("heading", name=f"question {number} of 10").wait_for()
        assert tab.page.evaluate(HERE)["tag"] == "input"  # the focus is where the answer goes
        if isinstance(answer, int):
            for _ in range(answer):
                keys.board.press("ArrowDown")
        else:
            keys.board.type(answer)
        keys.board.press("Enter")
    tab.page.get_by_role("heading", name="question").wait_for(state="detached")
    tab.whole()
    assert tab.focused != "body"  # what was asked last is gone; the focus is not
    assert tab.text("title") == NAME
    assert 'wood = "white ash"' in tab.held["text"]

    keys.to("key-pour.close")
    assert tab.page.evaluate("() => getSelection().toString()") != ""  # typing writes over it
    keys.board.type("12 min")
    keys.board.press("Enter")
    tab.whole()
    assert tab.focused == "key-pour.close"
    assert 'close = "12 min"' in tab.held["text"]

    keys.to("picture-cut")
    keys.board.press("Space")
    keys.to("picture-apart")
    keys.board.press("End")
    assert not tab.at("picture-cut").is_checked()
    assert tab.at("picture-apart").input_value() == "1"

    keys.board.press("Control+s")
    assert tab.focused == "save-as"
    keys.board.press("Enter")
    tab.page.get_by_text(f"saved as {NAME}.toml", exact=True).wait_for()

    keys.to("STL")
    with tab.page.expect_download() as coming:
        keys.board.press("Enter")
    with zipfile.ZipFile(coming.value.path()) as archive:
        assert f"{NAME}/parts/body.stl" in archive.namelist()
    assert keys.poor == []


def test_every_control_is_a_stop_and_none_holds_the_focus(tab: Tab) -> None:
    tab.whole()
    stops = tab.page.evaluate(
        """() => [...document.querySelectorAll("a[href], button, input, select, summary, canvas")]
          .filter(one => one.checkVisibility() && !one.disabled).length"""
    )
    seen = []
    tab.page.evaluate("() => { document.body.tabIndex = -1; document.body.focus(); }")
    for _ in range(3 * MOST_STOPS):
        tab.page.keyboard.press("Tab")
        here = tab.page.evaluate(HERE)
        if here["tag"] == "body":
            break
        if not seen or here != seen[-1]:
            seen.append(here)
    rolls = sum(here["tag"] == "div" for here in seen)  # wide tables can be rolled by keys

    assert len(seen) - rolls == stops
    for here in seen:
        assert here["seen"], here
        assert here["outline"] >= 2.0, here
        assert here["name"] or here["words"] or here["id"], here


def test_the_focus_and_what_is_typed_stay_when_parts_are_replaced(tab: Tab) -> None:
    tab.whole()
    tab.say("order.pieces", "20")
    # While the rest is under way somebody types on, in a part that is about to be replaced.
    control = tab.control("resin.loss")
    control.focus()
    tab.page.keyboard.type("12")
    tab.whole()

    assert tab.focused == "key-resin.loss"
    assert control.input_value() == "12"
    tab.page.keyboard.type(" %")
    tab.page.keyboard.press("Enter")
    tab.whole()
    assert tab.focused == "key-resin.loss"
    assert tab.text("resin.loss") == "12 %"


def test_a_screen_reader_is_told_once_when_all_is_worked_out(tab: Tab) -> None:
    tab.whole()
    live = tab.page.locator("#live")
    assert live.get_attribute("role") == "status"
    live.filter(has_text="Worked out. The gap is 0.88 mm.").wait_for(state="attached")
    tab.say("mould.gap", "1.1 mm").whole()
    live.filter(has_text="The gap is 1.10 mm.").wait_for(state="attached")
    named = tab.page.evaluate(
        """() => JSON.stringify([...document.querySelectorAll(".said")].map(one =>
             one.getAttribute("aria-label") || one.labels[0]?.textContent || one.id))"""
    )
    assert not [name for name in json.loads(named) if name.startswith("key-")]
