"""What keeps a page from being used by everyone: an independent checker finds nothing.

axe-core, bundled with axe-playwright-python: the rules of WCAG 2.0 to 2.2, A and AA, and its own
"best practices", all of them.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.browser.tab import Tab, Tabs

pytestmark = pytest.mark.heavy

LOOKS = [("light", 1280), ("dark", 320)]
ALL_LOOKS = [*LOOKS, ("light", 320), ("dark", 1280)]


def found(tab: Tab) -> list[str]:
    """What is wrong, rule by rule with the elements; and that something was looked at."""
    from axe_playwright_python.sync_playwright import Axe

    told = Axe().run(tab.page, options={"resultTypes": ["violations"]}).response
    assert len(told["passes"]) > 20
    return [
        f"{rule['id']}: {[node['html'][:100] for node in rule['nodes'][:3]]} {rule['help']}"
        for rule in told["violations"]
    ]


def looked_at(tabs: Tabs, scheme: str, width: int) -> Tab:
    return tabs(color_scheme=scheme, viewport={"width": width, "height": 800}).open().whole()


@pytest.mark.parametrize(("scheme", "width"), ALL_LOOKS)
def test_the_page_as_it_opens(tabs: Tabs, scheme: str, width: int) -> None:
    assert found(looked_at(tabs, scheme, width)) == []


def an_error(tab: Tab) -> None:
    tab.refusals = {422}
    tab.control("piece.diameter").fill("thick")
    tab.control("piece.diameter").press("Enter")
    tab.wrong("piece.diameter").wait_for()


def a_question(tab: Tab) -> None:
    tab.press("New job")
    tab.at("new-answer").wait_for()


def a_choice(tab: Tab) -> None:
    a_question(tab)
    for number in (2, 3):
        tab.press("Next")
        tab.page.get_by_role("heading", name=f"question {number} of 10").wait_for()


def a_conflict(tab: Tab) -> None:
    tab.say("pour.close", "60 min").whole()
    assert tab.page.locator("#stops").is_visible()


def every_list_open(tab: Tab) -> None:
    tab.page.evaluate(
        """() => { for (const one of document.querySelectorAll("details")) one.open = true; }"""
    )
    tab.page.locator("#part-mould details.more .said").first.wait_for()


def a_job_without_an_answer(tab: Tab) -> None:
    tab.refusals = {422}
    tab.say("insert.shape", "tube")
    tab.page.locator("#trouble p").first.wait_for()


def work_under_way(tab: Tab) -> None:
    tab.say("order.pieces", "40")
    # The rest is stopped, so that the page stays as it is half way.
    tab.page.route("**/api/rest", lambda _: None)
    tab.say("order.pieces", "41")


STATES = [an_error, a_question, a_choice, a_conflict, every_list_open, a_job_without_an_answer,
          work_under_way]  # fmt: skip


@pytest.mark.parametrize(("scheme", "width"), LOOKS)
@pytest.mark.parametrize("state", STATES)
def test_the_page_in_use(tabs: Tabs, state: Callable[[Tab], None], scheme: str, width: int) -> None:
    tab = looked_at(tabs, scheme, width)
    state(tab)
    assert found(tab) == []


@pytest.mark.parametrize(("scheme", "width"), LOOKS)
def test_the_page_with_still_pictures(tabs_without_webgl: Tabs, scheme: str, width: int) -> None:
    assert found(looked_at(tabs_without_webgl, scheme, width)) == []
