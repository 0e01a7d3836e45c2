"""The same sheet on paper: all of its text, its pictures, and nothing of what one edits with."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.pdf_pages import Pdf, read_pdf, squeezed

if TYPE_CHECKING:
    from tests.browser.tab import Tab

pytestmark = pytest.mark.heavy

# Name and text of every value that stands in a part that is there.
VALUES = """() => [...document.querySelectorAll("section:not([hidden]) :is(data, span)[id]")]
  .filter(one => one.checkVisibility() && !one.closest("[data-ours], .screen"))
  .map(one => [one.id, one.textContent])"""
CONTROLS = """() => [
  ...document.querySelectorAll("input, select, button, summary, canvas, details")]
  .filter(one => one.checkVisibility()).map(one => one.id || one.textContent)"""


def printed(tab: Tab, paper: str) -> Pdf:
    return read_pdf(tab.page.pdf(format=paper, prefer_css_page_size=False, tagged=True))


@pytest.mark.parametrize(("paper", "mm"), [("A4", (210.0, 297.0)), ("Letter", (215.9, 279.4))])
def test_the_page_prints_as_the_sheet(tab: Tab, paper: str, mm: tuple[float, float]) -> None:
    tab.whole()
    tab.page.emulate_media(media="print")
    values: list[tuple[str, str]] = tab.page.evaluate(VALUES)
    tab.page.emulate_media()
    pdf = printed(tab, paper)

    assert len(values) > 800
    lost = [(name, text) for name, text in values if squeezed(text) not in pdf.squeezed]
    assert lost == []
    for page in pdf.pages:
        assert page.size_mm == pytest.approx(mm, abs=0.6)
        left, foot, right, top = page.ink_mm
        assert left > 5.0
        assert foot > 5.0
        assert right < mm[0] - 5.0
        assert top < mm[1] - 5.0
    assert "Takealong" not in pdf.squeezed
    assert "morethatcanbesaid" not in pdf.squeezed
    assert "Undo" not in pdf.squeezed
    assert sum(page.images for page in pdf.pages) >= 1  # the mould as it stood on the screen
    assert len(pdf.pages) < 40


def test_nothing_that_one_edits_with_is_on_paper(tab: Tab) -> None:
    tab.whole()
    assert len(tab.page.evaluate(CONTROLS)) > 50
    tab.page.emulate_media(media="print")
    assert tab.page.evaluate(CONTROLS) == []


def test_the_mould_is_printed_in_the_colours_of_paper(tab: Tab) -> None:
    tab.page.emulate_media(color_scheme="dark")
    tab.whole()
    tab.page.evaluate("() => dispatchEvent(new Event('beforeprint'))")
    still = tab.page.locator("figure.picture img.printed")
    assert (still.get_attribute("src") or "").startswith("data:image/png;base64,")
    assert (still.get_attribute("alt") or "").startswith("The mould of boathouse-pegs")


def test_print_waits_until_all_is_worked_out(tab: Tab) -> None:
    tab.whole()
    tab.page.evaluate(
        """() => { window.print = () => { window.seen = [
             document.getElementById("progress").hidden,
             document.querySelectorAll("section:not([hidden]) .old").length,
             document.getElementById("order.pieces").textContent]; }; }"""
    )
    tab.say("order.pieces", "31")
    tab.press("Print")
    tab.page.wait_for_function("() => window.seen !== undefined")
    assert tab.page.evaluate("() => window.seen") == [True, 0, "31"]
