"""Every value of the sheet by name: on the page, in its controls, on paper, as PDF, as JSON."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from mouldgen.job.rewrite import said_otherwise
from tests.cli_runs import mouldgen
from tests.demo_set import DEMO
from tests.page_server import TODAY
from tests.pdf_pages import read_pdf, squeezed
from tests.sheet_pages import Page

if TYPE_CHECKING:
    from tests.browser.tab import Tab

pytestmark = pytest.mark.heavy

JOBS = {
    "plain": (),
    "two-pours": (("pour.layers", "2"),),
    "inches": (("unit", "in"),),
}
SHOWN = """() => {
  const said = one => one.localName === "select" ? one.selectedOptions[0].label : one.value;
  const values = document.querySelectorAll(
    ":is(header, section:not([hidden])) :is(data, span, img)[id]");
  return Object.fromEntries([...values].map(one => [one.id, {
    text: one.localName === "img" ? one.alt : one.textContent,
    number: one.getAttribute("value"),
    said: one.parentElement.classList.contains("field")
      ? said(one.parentElement.querySelector(".said")) : null,
  }]));
}"""


@pytest.fixture(params=list(JOBS))
def job(request: pytest.FixtureRequest, server: Any) -> Path:
    """A job in the page's folder."""
    text = Path(f"presets/jobs/{DEMO}.toml").read_text(encoding="utf-8")
    for key, said in JOBS[request.param]:
        text = said_otherwise(text, key, said)
    path: Path = server.folder / f"same-{request.param}.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_page_controls_paper_and_json_show_the_same(tab: Tab, job: Path, tmp_path: Path) -> None:
    words = ("--no-castings", "--today", TODAY.isoformat(), "--json", "--out", str(tmp_path))
    values = mouldgen("sheet", str(job), *words).json["values"]
    paper = Page((tmp_path / DEMO / "sheet.html").read_text(encoding="utf-8")).by_id
    tab.opens(job.name).whole()
    shown = tab.page.evaluate(SHOWN)

    missing = [value["id"] for value in values if value["id"] not in shown]
    # The name is the page's title; what the page shows in three dimensions is drawn on paper.
    assert [
        name for name in missing if name != "name" and not name.startswith("mould.still.")
    ] == []
    assert tab.text("title") == values[0]["text"]
    wrong = []
    for value in values:
        name, text = value["id"], value["text"]
        if name in missing:
            continue
        here, there = shown[name], paper[name]
        printed = there.attrs["alt"] if there.tag == "img" else there.text
        said = here["said"]
        said_so = said is None or said == text or said.startswith(f"{text} (")
        if name == "insert.measured":
            said_so = said is not None  # all readings, as the job file has them
        number = here["number"]
        same = number is None or float(number) == value["number"]
        if not (here["text"] == printed == text and said_so and same):
            wrong.append((name, text, printed, here))
    assert wrong == []
    assert sum(one["said"] is not None for one in shown.values()) > 45


def test_the_pdf_of_the_page_has_every_value(tab: Tab, tmp_path: Path) -> None:
    pytest.importorskip("typst")
    words = ("--no-castings", "--today", TODAY.isoformat(), "--json", "--out", str(tmp_path))
    values = mouldgen("sheet", DEMO, *words).json["values"]
    tab.whole()
    with tab.page.expect_download() as coming:
        tab.press("PDF")
    text = read_pdf(Path(coming.value.path()).read_bytes()).squeezed
    # A picture's words are for who does not see it; a card has no room for a caption on paper.
    lost = [
        value["id"]
        for value in values
        if not value["id"].endswith((".alt", ".spots.caption"))
        and squeezed(value["text"]) not in text
    ]
    assert lost == []
