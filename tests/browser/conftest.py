"""A browser, and the page that it looks at; skips where there is none, unless CI is set."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from importlib.util import find_spec
from typing import TYPE_CHECKING

import pytest

from mouldgen.page.front import built
from tests.browser.tab import Tab, Tabs
from tests.page_server import PageServer, running

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Playwright

BROWSER = "chromium"
QUIET = (
    "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip
# Drawn by the processor: the same on every machine, and no warnings of a stalled one.
DRAWS = "--use-angle=swiftshader"
DRAWS_NOT = "--disable-3d-apis"


def what_is_missing() -> str:
    """Why there can be no browser here; empty where there can."""
    if shutil.which(BROWSER) is None:
        return f"there is no {BROWSER}: apt-get install {BROWSER}"
    for module in ("playwright", "axe_playwright_python"):
        if find_spec(module) is None:
            return f"there is no {module}: pip install -e '.[test,heavy]'"
    if not built():
        return "the page is not made: python hatch_build.py"
    return ""


@pytest.fixture(scope="package")
def playwright() -> Iterator[Playwright]:
    if missing := what_is_missing():
        if os.environ.get("CI"):
            pytest.fail(f"the page is not tried in a browser: {missing}")
        pytest.skip(missing)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as found:
        yield found


def started(playwright: Playwright, how: str) -> Browser:
    return playwright.chromium.launch(executable_path=shutil.which(BROWSER), args=[*QUIET, how])


@pytest.fixture(scope="package")
def browser(playwright: Playwright) -> Iterator[Browser]:
    found = started(playwright, DRAWS)
    yield found
    found.close()


@pytest.fixture(scope="package")
def browser_without_webgl(playwright: Playwright) -> Iterator[Browser]:
    found = started(playwright, DRAWS_NOT)
    yield found
    found.close()


@pytest.fixture(scope="package")
def server(
    playwright: Playwright, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[PageServer]:
    """One page for all: who puts a file into its folder takes a name that no other test has."""
    with running(tmp_path_factory.mktemp("jobs"), no_castings=True) as found:
        yield found


def tabs_of(server: PageServer, browser: Browser) -> Iterator[Tabs]:
    """Makes tabs; what must never happen in any of them fails the test."""
    tabs = Tabs(server, browser)
    yield tabs
    troubles = [trouble for tab in tabs.made for trouble in tab.troubles]
    for tab in tabs.made:
        tab.page.context.close()
    assert troubles == []


@pytest.fixture
def tabs(server: PageServer, browser: Browser) -> Iterator[Tabs]:
    yield from tabs_of(server, browser)


@pytest.fixture
def tabs_without_webgl(server: PageServer, browser_without_webgl: Browser) -> Iterator[Tabs]:
    yield from tabs_of(server, browser_without_webgl)


@pytest.fixture
def tab(tabs: Tabs) -> Tab:
    """A tab with the demo, shown."""
    return tabs().open()
