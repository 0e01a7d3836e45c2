"""Any width, large letters, less motion: nothing is cut off and every control can be reached."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.browser.tab import Tab, Tabs

pytestmark = pytest.mark.heavy

# A control lies on the sheet, or in a table that can be rolled; the part of it that can be seen
# is at least as high as a fingertip needs: 24 pixels, WCAG 2.2, 2.5.8.
OUT_OF_REACH = """() => {
  const wide = document.documentElement.clientWidth, poor = [];
  for (const one of document.querySelectorAll("a[href], button, input, select, summary, canvas")) {
    if (!one.checkVisibility() || one.classList.contains("skip")) continue;
    const label = one.labels?.[0];
    const box = (label?.contains(one) ? label : one).getBoundingClientRect();
    const rolls = one.closest(".roll") !== null;
    const name = one.id || one.textContent || one.outerHTML;
    if (!rolls && (box.left < -1 || box.right > wide + 1)) poor.push([name, box.left, box.right]);
    if (box.width < 24 || box.height < 24) poor.push([name, box.width, box.height]);
  }
  return poor;
}"""
# Text that is wider than what holds it and cannot be rolled to.
CUT_OFF = """() => {
  const wide = document.documentElement.clientWidth;
  const texts = "h1, h2, p, th, td, li, summary, label, legend, data, span";
  return [...document.querySelectorAll(texts)]
    .filter(one => one.checkVisibility() && !one.closest(".roll, .unseen, .skip"))
    .filter(one => [...one.getClientRects()].some(box => box.right > wide + 1 || box.left < -1))
    .map(one => one.textContent.slice(0, 60));
}"""
OVER = "() => document.scrollingElement.scrollWidth - window.innerWidth"


def everything_open(tab: Tab) -> None:
    tab.page.evaluate(
        """() => { for (const one of document.querySelectorAll("details")) one.open = true; }"""
    )
    tab.page.locator("#part-mould details.more .said").first.wait_for()


def nothing_is_out_of_reach(tab: Tab) -> None:
    assert tab.page.evaluate(OVER) <= 0
    assert tab.page.evaluate(CUT_OFF) == []
    assert tab.page.evaluate(OUT_OF_REACH) == []


@pytest.mark.parametrize("width", [320, 390, 640, 1280])
def test_nothing_overflows(tabs: Tabs, width: int) -> None:
    # 640 is a window of 1280 with everything twice as large, 320 four times.
    tab = tabs(viewport={"width": width, "height": 800}, device_scale_factor=1280 / width).open()
    tab.whole()
    nothing_is_out_of_reach(tab)
    everything_open(tab)
    nothing_is_out_of_reach(tab)


def test_letters_of_twice_the_size_fit(tab: Tab) -> None:
    tab.whole()
    tab.page.evaluate("() => { document.documentElement.style.fontSize = '200%'; }")
    assert tab.page.evaluate(OVER) <= 0
    assert tab.page.evaluate(CUT_OFF) == []


@pytest.mark.parametrize("width", [320, 1280])
def test_questions_and_errors_fit(tabs: Tabs, width: int) -> None:
    tab = tabs(viewport={"width": width, "height": 800}).open().whole()
    tab.refusals = {422}
    tab.control("piece.diameter").fill("thick")
    tab.control("piece.diameter").press("Enter")
    tab.wrong("piece.diameter").wait_for()
    tab.press("New job")
    for answer in ("pegs", "12", None, None, None, ""):
        nothing_is_out_of_reach(tab)
        number = tab.page.locator("#new-title").text_content() or ""
        if answer is not None:
            tab.at("new-answer").fill(answer)
        tab.press("Next")
        tab.page.locator("#new-title").filter(has_not_text=number).wait_for()
    nothing_is_out_of_reach(tab)  # with a drawing


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_picture_takes_the_colours_of_the_sheet(tabs: Tabs, scheme: str) -> None:
    tab = tabs(color_scheme=scheme).open()
    ground = "() => getComputedStyle(document.documentElement).backgroundColor"
    bright = [int(one) for one in re.findall(r"\d+", tab.page.evaluate(ground))]
    assert (sum(bright) > 3 * 200) == (scheme == "light")
    other = "dark" if scheme == "light" else "light"
    first, frame = tab.picture(), tab.frame
    tab.page.emulate_media(color_scheme=other)
    tab.page.wait_for_function(
        f"() => Number(document.querySelector('figure.picture').dataset.frame) > {frame}"
    )
    assert tab.picture() != first


def test_nothing_moves_by_itself(tabs: Tabs) -> None:
    for motion in ("reduce", "no-preference"):
        tab = tabs(reduced_motion=motion).open()
        tab.say("mould.gap", "1.1 mm")
        moving = tab.page.evaluate(
            """() => document.getAnimations().length + [...document.querySelectorAll("*")].filter(
                 one => parseFloat(getComputedStyle(one).transitionDuration) > 0).length"""
        )
        assert moving == 0
        assert (
            tab.page.evaluate("() => getComputedStyle(document.documentElement).scrollBehavior")
            == "auto"
        )
