"""A tab of the page in a real browser: what a person does in it, and what must never happen."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Locator, Page, Request

    from tests.page_server import PageServer

# A refused answer is logged by the browser itself: the one message that a test may expect.
REFUSED = re.compile(r"^Failed to load resource: the server responded with a status of (\d+)")
LOCAL = {"127.0.0.1", ""}  # blob: and data: have no host
WAIT_MS = 30_000
MOST_LOOKS, PAUSE_MS = 40, 150
NEXT_FRAME = (
    """() => new Promise(then => requestAnimationFrame(() => requestAnimationFrame(then)))"""
)
SHOWN = """() => {
  const [asked] = performance.getEntriesByName("asked");
  const [shown] = performance.getEntriesByName("shown");
  return asked && shown && shown.startTime >= asked.startTime;
}"""
WHOLE = """() => document.getElementById("progress").hidden
  && !document.querySelector("section[aria-busy]:not([hidden]), section:not([hidden]) .old")"""
HELD = """() => {
  const { at } = JSON.parse(sessionStorage.getItem("mouldgen.book"));
  return JSON.parse(sessionStorage.getItem(`mouldgen.step.${at}`));
}"""
WITH_FOCUS = """() => document.activeElement?.id || document.activeElement?.localName"""


def by_id(name: str) -> str:
    """A selector; ids have dots in them."""
    return f'[id="{name}"]'


@dataclass(eq=False)
class Tab:
    """One tab.

    server : that it is of.
    page : the browser's.
    refusals : status codes of answers that the test asks for.
    troubles : what must not happen: words of the console, requests to elsewhere.
    """

    server: PageServer
    page: Page
    refusals: set[int] = field(default_factory=set)
    troubles: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.on("console", self._heard)
        self.page.on("pageerror", lambda thrown: self.troubles.append(f"thrown: {thrown}"))
        self.page.on("request", self._asked)
        self.page.on("crash", lambda _: self.troubles.append("the tab crashed"))
        self.page.set_default_timeout(WAIT_MS)

    def _heard(self, message: ConsoleMessage) -> None:
        if message.type not in {"error", "warning", "assert"}:
            return
        refused = REFUSED.match(message.text)
        if refused is None or int(refused[1]) not in self.refusals:
            self.troubles.append(f"{message.type}: {message.text}")

    def _asked(self, request: Request) -> None:
        if (urlsplit(request.url).hostname or "") not in LOCAL:
            self.troubles.append(f"asked for {request.url}")

    # ------------------------------------------------------------------ going there

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.server.port}/"

    def open(self) -> Tab:
        """Go to the page and wait for its first picture and numbers."""
        self.page.goto(self.address)
        return self.shown()

    def shown(self) -> Tab:
        """Wait until what the last edit changed at once is in the frame."""
        self.page.wait_for_function(SHOWN)
        return self

    def whole(self) -> Tab:
        """Wait until every part is worked out again."""
        self.shown()
        self.page.wait_for_function(WHOLE)
        return self

    def opens(self, name: str) -> Tab:
        """Open a job of the folder or a shipped one by the button that is called so."""
        self.page.locator("details.open > summary").click()
        with self.page.expect_response("**/api/early"):
            self.page.get_by_role("button", name=name, exact=True).click()
        return self.shown()

    # ------------------------------------------------------------------ what is there

    def at(self, name: str) -> Locator:
        return self.page.locator(by_id(name))

    def control(self, key: str) -> Locator:
        """Where a key of the job file is said."""
        return self.at(f"key-{key}")

    def wrong(self, key: str) -> Locator:
        """Why what was said of a key is refused."""
        return self.at(f"wrong-{key}")

    def text(self, name: str) -> str:
        """Text of a value of the sheet, also where a control stands for it."""
        return self.at(name).text_content() or ""

    @property
    def held(self) -> dict[str, str]:
        """What the tab holds: ``text`` of the job and ``name`` of its file."""
        found: dict[str, str] = self.page.evaluate(HELD)
        return found

    @property
    def focused(self) -> str:
        """Id of the element that has the focus, else what kind it is."""
        return str(self.page.evaluate(WITH_FOCUS))

    @property
    def frame(self) -> int:
        """How many pictures of the mould were drawn."""
        return int(self.page.locator("figure.picture").get_attribute("data-frame") or 0)

    def picture(self) -> bytes:
        """The picture of the mould, once nothing more is to be drawn.

        What a frame has drawn is on the screen some frames later, on a busy machine many: two
        screenshots with a pause between them have to be the same.
        """
        canvas = self.page.locator("figure.picture canvas")
        before = b""
        for _ in range(MOST_LOOKS):
            self.page.evaluate(NEXT_FRAME)
            self.page.wait_for_timeout(PAUSE_MS)
            now = canvas.screenshot()
            if now == before:
                return now
            before = now
        raise AssertionError(f"the picture still changes after {MOST_LOOKS} looks")

    # ------------------------------------------------------------------ what is done

    def say(self, key: str, said: str) -> Tab:
        """Say a key otherwise, and wait for what follows at once."""
        control = self.control(key)
        if control.evaluate("element => element.localName") == "select":
            control.select_option(said)
        else:
            control.fill(said)
            control.press("Enter")
        return self.shown()

    def press(self, name: str) -> Tab:
        """Press the button that is called so."""
        self.page.get_by_role("button", name=name, exact=True).click()
        return self

    def edited(self, key: str, said: str) -> str:
        """The job's text, with a key said otherwise by the server and not by this tab."""
        told = self.server.post("/api/change", text=self.held["text"], key=key, said=said)
        text: str = told.json["text"]
        return text

    def cdp(self, method: str, **params: Any) -> dict[str, Any]:
        """Ask the browser itself."""
        session = self.page.context.new_cdp_session(self.page)
        try:
            found: dict[str, Any] = session.send(method, params)
            return found
        finally:
            session.detach()


@dataclass(eq=False)
class Tabs:
    """Makes tabs and keeps them.

    server, browser : that they are of.
    """

    server: PageServer
    browser: Browser
    made: list[Tab] = field(default_factory=list)

    def __call__(self, **context: Any) -> Tab:
        """A tab in a window of its own that shows nothing yet; context : as the browser's."""
        context.setdefault("viewport", {"width": 1280, "height": 900})
        return self._kept(self.browser.new_context(**context))

    def beside(self, tab: Tab) -> Tab:
        """Another tab of the same person's browser."""
        return self._kept(tab.page.context)

    def _kept(self, context: BrowserContext) -> Tab:
        self.made.append(Tab(self.server, context.new_page()))
        return self.made[-1]
