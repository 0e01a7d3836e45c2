"""A browser that cannot draw in three dimensions: the sheet's own pictures, all else as ever."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.browser.tab import Tabs

pytestmark = pytest.mark.heavy

STILLS = '#part-mould [data-slot="stills"] img, #part-mould figure:not(.picture) img'
LOADED = """elements => elements.map(
  one => [one.complete, one.naturalWidth, one.alt.length > 20, one.src])"""


def test_still_pictures_stand_in_for_the_mould(tabs_without_webgl: Tabs) -> None:
    tab = tabs_without_webgl().open().whole()
    assert not tab.page.evaluate("() => !!document.createElement('canvas').getContext('webgl2')")
    assert tab.page.locator("canvas").count() == 0

    stills = tab.page.locator(STILLS)
    first = stills.evaluate_all(LOADED)
    assert len(first) >= 4
    for complete, wide, told, _ in first:
        assert complete
        assert wide >= 200
        assert told
    # An edit makes other pictures.
    tab.say("mould.gap", "2.5 mm").whole()
    assert tab.text("gap.gap_mm") == "2.50 mm"
    after = stills.evaluate_all(LOADED)
    assert {src for *_, src in after}.isdisjoint({src for *_, src in first})
    tab.press("Undo").whole()
    assert stills.evaluate_all(LOADED) == first
