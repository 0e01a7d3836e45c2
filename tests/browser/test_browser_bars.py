"""How quick, how idle and how frugal the page is; prints what it measured.

Bars of this project for its demo on a machine of two cores with nothing else to do.  Where others
use the cores too, a bar of time is taken (load + 1) / cores times, as each gets that share.
"""

from __future__ import annotations

import os
import shutil
import statistics
import time
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from mouldgen.page.framing import unframed
from tests.browser.conftest import BROWSER, QUIET
from tests.browser.page_process import (
    PageProcess,
    cpu_s,
    descendants,
    page_process,
    renderers,
    resident_bytes,
)
from tests.browser.tab import Tabs
from tests.page_server import PageServer

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Playwright, Route

    from tests.browser.tab import Tab

pytestmark = [
    pytest.mark.heavy,
    pytest.mark.skipif(
        not Path("/proc/self/statm").exists(), reason="asks Linux for its processes"
    ),
]

# Until all is drawn, and until the page has handed the frame to the graphics, which take as long as
# they take: here they are a program as well.
TOOK = """() => ["shown", "given"].map((name) =>
  performance.getEntriesByName(name)[0].startTime
  - performance.getEntriesByName("asked")[0].startTime)"""
SINCE_OPENED = """() => performance.getEntriesByName("shown")[0].startTime"""
# Twenty edits of different kinds; those of the second round differ from those of the first.
EDITS = [
    ("mould.gap", ["1.1 mm", "1.15 mm"]), ("insert.length", ["72 mm", "73 mm"]),
    ("order.pieces", ["20", "21"]), ("insert.diameter", ["30.5 mm", "31 mm"]),
    ("resin.loss", ["12 %", "13 %"]), ("pour.mix", ["5 min", "5.5 min"]),
    ("piece.diameter", ["25 mm", "24 mm"]), ("pour.shop", ["22 C", "23 C"]),
    ("cost.wood", ["1.75", "1.80"]), ("insert.flutes", ["5", "4"]),
    ("piece.length", ["59 mm", "58 mm"]), ("order.due", ["2026-12-20", "2026-12-21"]),
    ("colour.1.name", ["amber", "moss"]), ("mould.gap", ["1.2 mm", "1.25 mm"]),
    ("insert.flute_area", ["18 %", "17 %"]), ("mould.vent_grooves", ["4", "3"]),
    ("printer.layer", ["0.15 mm", "0.16 mm"]), ("piece.turning", ["1.8 mm", "1.7 mm"]),
    ("mould.fill", ["84 mm", "86 mm"]), ("shop.people", ["2", "1"]),
]  # fmt: skip


def looseness() -> float:
    """By what bars of time are multiplied here and now."""
    return max(1.0, (os.getloadavg()[0] + 1.0) / (os.cpu_count() or 1))


@pytest.fixture(scope="module")
def process(tmp_path_factory: pytest.TempPathFactory, browser: Browser) -> Iterator[PageProcess]:
    with page_process(tmp_path_factory.mktemp("bars")) as found:
        yield found


@pytest.fixture(scope="module")
def as_it_is(playwright: Playwright) -> Iterator[Browser]:
    """The browser with its own choice of how to draw without a graphics card."""
    found = playwright.chromium.launch(executable_path=shutil.which(BROWSER), args=[*QUIET])
    yield found
    found.close()


@pytest.fixture
def alone(process: PageProcess, browser: Browser, tmp_path: Path) -> Iterator[Tab]:
    """The demo in the only tab of a page that is a process of its own."""
    tabs = Tabs(PageServer(tmp_path, process.port, served=None), browser)  # type: ignore[arg-type]
    tab = tabs().open()
    yield tab
    tab.page.context.close()
    assert tab.troubles == []


@pytest.fixture
def told(capsys: pytest.CaptureFixture[str]) -> Iterator[list[str]]:
    """Lines that are printed at the end of a test, whatever came of it."""
    lines: list[str] = []
    yield lines
    with capsys.disabled():
        load = "/".join(f"{one:.1f}" for one in os.getloadavg())
        print("", *lines, f"  (load {load}, {os.cpu_count()} cores)", sep="\n")  # noqa: T201


def per_cent(ms: list[float], share: float) -> float:
    return sorted(ms)[min(len(ms) - 1, int(share * len(ms)))]


def test_the_first_useful_page(
    process: PageProcess, browser: Browser, alone: Tab, told: list[str], tmp_path: Path
) -> None:
    """Shown in a browser that has started: the numbers of closed forms and the mould in 3D."""
    from_process = time.monotonic() - process.began
    warm = []
    for _ in range(3):
        tabs = Tabs(alone.server, browser)
        tab = tabs().open()
        warm.append(tab.page.evaluate(SINCE_OPENED))
        tab.page.context.close()
    best = min(warm)
    told.append(f"first useful page: {best:.0f} ms after it was asked for (of {warm}),")
    told.append(f"  at most {1000 * from_process:.0f} ms after the command was given")
    assert best < 1500.0 * looseness()


def test_forty_edits(
    process: PageProcess, as_it_is: Browser, tmp_path: Path, told: list[str]
) -> None:
    """Each to the numbers and to the picture, drawn to its last dot."""
    tabs = Tabs(PageServer(tmp_path, process.port, served=None), as_it_is)  # type: ignore[arg-type]
    alone = tabs().open()
    alone.whole()
    calm, hasty = [], []
    for turn, took in ((0, calm), (1, hasty)):
        for key, said in EDITS:
            control = alone.control(key)
            control.fill(said[turn])
            control.press("Enter")
            alone.shown()
            took.append(alone.page.evaluate(TOOK))
            if turn == 0:
                alone.whole()  # the next edit comes when all is worked out, else while it is
    alone.page.context.close()
    # Drawn by a program and read back from it, which the browser calls a stall.
    assert [one for one in alone.troubles if "GPU stall due to ReadPixels" not in one] == []
    for name, rows in (("with all worked out", calm), ("while it is worked out", hasty)):
        for what, took in zip(
            ("drawn", "given to the graphics"), zip(*rows, strict=True), strict=True
        ):
            told.append(
                f"edit to numbers and picture {what}, {name}: median"
                f" {statistics.median(took):.0f} ms, 95 % {per_cent(list(took), 0.95):.0f} ms"
            )
    both = [drawn for drawn, _ in calm + hasty]
    told.append(f"  both: median {statistics.median(both):.0f} ms, 95 % {per_cent(both, 0.95):.0f}")
    loose = looseness()
    assert statistics.median(both) < 150.0 * loose
    assert per_cent(both, 0.95) < 300.0 * loose


def made_by(tab: Tab, key: str, said: str) -> int:
    """How many steps made solids for one edit, as the server says."""
    bodies = []

    def passed_on(route: Route) -> None:
        answer = route.fetch()
        bodies.append(answer.body())  # it comes in two parts, which a browser does not keep
        route.fulfill(response=answer)

    tab.page.route("**/api/early", passed_on)
    tab.say(key, said)
    tab.page.unroute("**/api/early")
    (body,) = bodies
    made: int = unframed(body)[0]["made"]
    return made


def test_a_price_makes_no_solid(alone: Tab) -> None:
    alone.whole()
    assert made_by(alone, "cost.wood", "2.40") == 0
    assert made_by(alone, "order.due", "2026-12-23") == 0
    assert made_by(alone, "mould.gap", "1.37 mm") > 0  # it does count


def test_an_idle_page_costs_nothing(process: PageProcess, alone: Tab, told: list[str]) -> None:
    alone.whole()
    alone.page.wait_for_timeout(2000)
    server, shows = descendants(process.pid), renderers(os.getpid())
    assert len(server) >= 3
    assert shows
    before, frame, began = (cpu_s(server), cpu_s(shows)), alone.frame, time.monotonic()
    time.sleep(20.0)  # not the page's own clock: a browser that is asked is not idle
    after, for_s = (cpu_s(server), cpu_s(shows)), time.monotonic() - began
    used = [100.0 * (b - a) / for_s for a, b in zip(before, after, strict=True)]
    told.append(f"idle: server {used[0]:.2f} %, browser's page {used[1]:.2f} % of a core")
    assert sum(used) < 1.0
    assert alone.frame == frame


def heap_bytes(tab: Tab) -> float:
    tab.cdp("HeapProfiler.collectGarbage")
    session = tab.page.context.new_cdp_session(tab.page)
    session.send("Performance.enable")
    metrics = {
        one["name"]: one["value"] for one in session.send("Performance.getMetrics")["metrics"]
    }
    session.detach()
    return float(metrics["JSHeapUsedSize"])


def test_five_hundred_edits_leave_memory_as_it_was(
    process: PageProcess, alone: Tab, told: list[str]
) -> None:
    alone.whole()
    measured = []
    for k in range(500):
        if k in {50, 275}:
            alone.whole()
            measured.append((heap_bytes(alone), resident_bytes(descendants(process.pid))))
        control = alone.control("mould.gap")
        control.fill(f"{0.9 + 0.001 * k:.3f} mm")
        control.press("Enter")
        alone.shown()
    alone.whole()
    measured.append((heap_bytes(alone), resident_bytes(descendants(process.pid))))
    for edits, (heap, held) in zip((50, 275, 500), measured, strict=True):
        told.append(f"after {edits} edits: heap {heap / 1e6:.1f} MB, server {held / 1e6:.0f} MB")
    (heap, held), _, (heap_after, held_after) = measured
    assert heap_after < 1.1 * heap
    assert held_after < 1.1 * held
