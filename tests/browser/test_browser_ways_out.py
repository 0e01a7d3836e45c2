"""Out of where a maker is stuck: an answer no list has, a key that must follow, no gap at all."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

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
