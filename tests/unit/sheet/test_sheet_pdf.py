"""The job sheet as PDF: all of its values as text, nothing beyond the margins or over another."""

from __future__ import annotations

import base64
import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from mouldgen.build import build_moulds
from mouldgen.errors import SurroundingsError
from mouldgen.job.load import load_job
from mouldgen.job.presets import names
from mouldgen.sheet import sheet_pdf as module
from mouldgen.sheet.compose_sheet import sheet_data
from mouldgen.sheet.sheet_data import (
    Big,
    Boxes,
    Drawing,
    Facts,
    Found,
    Grid,
    Heading,
    Item,
    Part,
    Pencil,
    SheetData,
    Slot,
    Told,
    Value,
)
from mouldgen.sheet.sheet_pdf import sheet_pdf
from tests.cli_runs import mouldgen
from tests.pdf_pages import Pdf, PdfPage, read_pdf, squeezed

PEGS, PENS, PULLS = "boathouse-pegs", "conference-pens", "bell-pulls"
TODAY = dt.date(2026, 11, 26)
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
SIDE_MM, TOP_MM, FOOT_MM = 10.0, 12.0, 16.0  # margins; the page's number stands in the lowest
FOOTER_MM = 8.0  # below it nothing stands
STROKE_MM = 0.5  # a box to tick has half of its line outside, and a dot is 0.18 mm
TOUCH_MM = 0.25  # by which letters of different words may come into each other's boxes

# Of the shipped jobs' HTML printed by Chromium 150 on A4; paper is not to take more, but for one
# page that another line on the sheet may open.
HTML_PAGES = {
    "apple-toppers": 22, PULLS: 13, PEGS: 22, "burl-knobs": 13, "chest-toggles": 14, PENS: 24,
    "curtain-finials": 13, "drawer-knobs": 22, "gear-knob": 16, "lamp-finials": 20,
    "lantern-grips": 13, "locker-pegs": 13, "orchard-grips": 18, "sash-pulls": 14,
}  # fmt: skip
SOME = (PEGS, PENS, PULLS)
JOBS = [
    job if job in SOME else pytest.param(job, marks=pytest.mark.heavy)
    for job in sorted(names("jobs"))
]


@cache
def data_of(job: str, *sets: str) -> SheetData:
    loaded = load_job(job, sets=sets)
    found = build_moulds(loaded.job, learned=loaded.learned, given=loaded.given)
    return sheet_data(found, today=TODAY, given=loaded.given)


@cache
def bytes_of(job: str, paper: module.Paper = "a4") -> bytes:
    return sheet_pdf(data_of(job), paper=paper)


@cache
def pdf_of(job: str, paper: module.Paper = "a4") -> Pdf:
    return read_pdf(bytes_of(job, paper))


def with_items(*items: Item, card: bool = False) -> SheetData:
    """A sheet of one part with these items, which is its card as well if asked for."""
    part = Part("one", Value("one.title", "One"), items)
    shown = Value("name", "sheet"), Value("lead", "lead")
    return SheetData(*shown, (), (part,), (part,) if card else (), (Value("made", "0123"),))


def drawings_of(data: SheetData) -> list[Drawing]:
    items = [item for part in (*data.parts, *data.cards) for item in part.items]
    slots = [drawing for item in items if isinstance(item, Slot) for drawing in item.drawings]
    return [item for item in items if isinstance(item, Drawing)] + slots


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("job", JOBS)
def test_every_shipped_job_goes_onto_paper_whole(job: str, paper: module.Paper) -> None:
    # One test a file: making the sheet takes a second or more, looking at it next to nothing.
    data, pdf = data_of(job), pdf_of(job, paper)

    all_have_the_size(pdf, paper)
    every_value_is_told(data, pdf)
    no_ink_is_in_the_margins(pdf.pages)
    no_text_lies_on_another(pdf.pages)
    each_card_has_one_page(data, pdf)
    it_can_be_read_aloud(data, pdf)
    drawings_stay_lines(data, pdf)
    assert len(pdf.pages) <= HTML_PAGES[job] + 1


def all_have_the_size(pdf: Pdf, paper: str) -> None:
    for page in pdf.pages:
        assert page.size_mm == pytest.approx(PAPERS[paper], abs=0.01)


def every_value_is_told(data: SheetData, pdf: Pdf) -> None:
    text = pdf.squeezed
    alts = {drawing.alt.id for drawing in drawings_of(data)}
    on_card = {d.caption.id for card in data.cards for d in card.items if isinstance(d, Drawing)}
    values = [v for v in data.values() if v.id not in alts | on_card]

    assert len(values) > 350
    assert [v.id for v in values if squeezed(v.text) not in text] == []


def no_ink_is_in_the_margins(pages: Sequence[PdfPage]) -> None:
    for page in pages:
        wide, high = page.size_mm
        left, foot, right, top = page.ink_mm
        assert left >= SIDE_MM - STROKE_MM
        assert right <= wide - SIDE_MM + STROKE_MM
        assert top <= high - TOP_MM + 1.0  # the first line's own rise
        assert foot >= FOOTER_MM
        body = page.boxes[page.boxes[:, 1] > FOOT_MM - 4.0]
        assert body[:, 1].min() >= FOOT_MM - 1.0  # the last line's own drop


def no_text_lies_on_another(pages: Sequence[PdfPage]) -> None:
    assert [pair for page in pages for pair in page.over_another(by_mm=TOUCH_MM)] == []


def each_card_has_one_page(data: SheetData, pdf: Pdf) -> None:
    cards = len(data.cards)
    last = pdf.pages[len(pdf.pages) - cards :]

    for card, page in zip(data.cards, last, strict=True):
        assert page.squeezed.startswith(squeezed(card.title.text))
        mind = card.items[-1]
        assert isinstance(mind, Told)
        assert squeezed(mind.value.text) in page.squeezed


def it_can_be_read_aloud(data: SheetData, pdf: Pdf) -> None:
    tags = [tag for page in pdf.pages for tag in page.tags]
    kinds = [kind for kind, _ in tags]

    assert pdf.tagged
    assert (pdf.title, pdf.language) == (f"{data.name.text}: job sheet", "en-GB")
    assert kinds.count("H1") == 1
    assert kinds.count("H2") == len(data.parts) + len(data.cards)
    told = sorted(alt for kind, alt in tags if kind == "Figure")
    assert told == sorted(drawing.alt.text for drawing in drawings_of(data))
    assert "TH" in kinds


def drawings_stay_lines(data: SheetData, pdf: Pdf) -> None:
    stills = sum("image/png" in drawing.source[:20] for drawing in drawings_of(data))

    assert sum(page.images for page in pdf.pages) == stills


def test_the_file_says_that_it_keeps_the_standard_for_screen_readers() -> None:
    # ISO 14289-1, 5: the number of its part stands in the metadata, as typst writes it only after
    # it has checked the file; no other judge of the standard is at hand.
    assert re.search(rb"<pdfuaid:part>1</pdfuaid:part>", bytes_of(PEGS))


def test_the_same_sheet_gives_the_same_bytes() -> None:
    assert sheet_pdf(data_of(PEGS)) == bytes_of(PEGS)


def test_a_long_table_repeats_its_head_and_splits_no_row() -> None:
    said = "begins, goes on over line after line because it has so much to say, and ends"
    rows = tuple((f"r{k}", f"row {k} {said} {said} {said} row {k}") for k in range(80))
    pages = read_pdf(
        sheet_pdf(with_items(Grid("Many", ("which", "what is told"), rows, boxed=True)))
    ).pages

    assert len(pages) > 2
    for page in pages:
        assert page.text.count("what is told") == 1
    for k in range(80):
        assert [page.squeezed.count(f"row{k}begins") for page in pages].count(1) == 1
        on = next(page for page in pages if f"row{k}begins" in page.squeezed)
        assert re.search(rf"endsrow{k}(?!\d)", on.squeezed)


def test_rows_that_are_taller_than_a_page_go_on_over_it() -> None:
    words = [f"word{k}." for k in range(2500)]
    long = Value("long", " ".join(words))
    pdf = read_pdf(sheet_pdf(with_items(Facts("Long", (("long", (long,)),)))))

    assert len(pdf.pages) > 1
    assert re.findall(r"word\d+\.", pdf.squeezed) == words
    no_ink_is_in_the_margins(pdf.pages)


HOSTILE = [
    '#set page(fill: red) #panic("x") #import "/etc/passwd": *',
    "*bold* _it_ `raw` $x^2$ = head <label> @ref // gone /* gone */ \\u{41} \\ ~ -- --- ...",
    '"] #read("sheet.typ") [" \'single\' https://example.org [a](b) {{ 7*7 }} <script>&amp;',
    "- item + item / term: what #1 $$ ``` #sys.inputs.sheet",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_what_a_maker_typed_is_never_read_as_markup(text: str) -> None:
    value = Value("nasty", text)
    items: tuple[Item, ...] = (
        Told(value), Heading(value), Facts(text, ((value, (value, value)),)),
        Grid(text, (text, "b"), ((value, "b"), (text, value)), boxed=True),
        Big(((text, value),), boxed=True), Boxes((value,)), Pencil((text,)),
        Found("stop", text, value), Found("note", "w", value),
    )  # fmt: skip
    data = replace(
        with_items(*items, card=True), name=value, lead=value, stops=(value,), made=(value,)
    )
    pdf = read_pdf(sheet_pdf(data))

    head, part = 4, 17  # how often it stands at the head and in a part; a foot has its beginning
    assert len(pdf.pages) == 2
    assert pdf.squeezed.count(squeezed(text)) == head + 2 * part
    no_ink_is_in_the_margins(pdf.pages)
    assert pdf.title == f"{text}: job sheet"


def test_a_name_in_a_drawing_is_text_too() -> None:
    text = "<g> & #x $y$ \\"
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="20mm" viewBox="0 0 90 20">'
        '<text x="2" y="10" font-size="4">&lt;g&gt; &amp; #x $y$ \\</text></svg>'
    )
    source = "data:image/svg+xml;base64," + base64.b64encode(svg.encode()).decode()
    drawing = Drawing(source, Value("alt", text), Value("caption", text))
    pdf = read_pdf(sheet_pdf(with_items(drawing)))

    assert pdf.squeezed.count(squeezed(text)) == 2
    assert ("Figure", text) in pdf.pages[0].tags


@pytest.mark.parametrize("word", ["W" * 400, "0123456789abcdef" * 20, "x" * 23 + "-" + "y" * 300])
def test_a_very_long_word_is_broken_and_lies_on_nothing(word: str) -> None:
    value = Value("long", word)
    items: tuple[Item, ...] = (
        Told(value), Facts("f", ((value, (value,)), ("b", (value,)))),
        Grid("g", ("a", "b", "c"), ((value, value, "x"), ("y", value, "z")), right=(1,)),
        Big((("name", value),)), Boxes((value, value)), Found("warn", "look at", value),
    )  # fmt: skip
    pdf = read_pdf(sheet_pdf(replace(with_items(*items), name=value)))

    assert pdf.squeezed.count(word) >= 11
    no_ink_is_in_the_margins(pdf.pages)
    no_text_lies_on_another(pdf.pages)


def test_a_character_without_a_shape_is_stood_in_for_and_told() -> None:
    value = Value("odd", "left \U0001f600 \u6f22 \x07 right")
    pdf = read_pdf(sheet_pdf(with_items(Told(value))))

    assert squeezed("left \ufffd \ufffd \ufffd right") in pdf.squeezed
    assert squeezed("\ufffd stands for a character that the type of this paper does not have.") in (
        pdf.squeezed
    )
    assert "stands for a character" not in pdf_of(PEGS).pages[0].text


def test_words_written_from_the_right_are_shown() -> None:
    hebrew, arabic = "\u05e9\u05dc\u05d5\u05dd", "\u0633\u0644\u0627\u0645"
    pdf = read_pdf(sheet_pdf(with_items(Told(Value("rtl", f"a {hebrew} b {arabic} c")))))

    assert set(hebrew) <= set(pdf.squeezed)
    assert "stands for a character" not in pdf.pages[0].text


def test_a_job_that_no_gap_fits_tells_on_paper_what_must_be_fixed() -> None:
    data = data_of(PEGS, "pour.close=60 min")
    pdf = read_pdf(sheet_pdf(data))

    assert squeezed("Not ready: must be fixed first") in pdf.pages[0].squeezed
    assert squeezed(data.stops[0].text) in pdf.pages[0].squeezed
    no_ink_is_in_the_margins(pdf.pages)


# ------------------------------------------------------------------------------ the command


def test_the_command_writes_it_beside_the_page(tmp_path: Path) -> None:
    words = ("sheet", PEGS, "--today", TODAY.isoformat(), "--no-castings", "--out", str(tmp_path))
    run = mouldgen(*words, "--pdf", "--paper", "letter", "--json")
    pdf = read_pdf((tmp_path / PEGS / "sheet.pdf").read_bytes())

    assert run.code == 0
    assert run.json["files"] == ["sheet.html", "sheet.pdf"]
    all_have_the_size(pdf, "letter")
    assert mouldgen(*words, "--json").json["files"] == ["sheet.html"]


def test_without_the_package_it_says_how_to_get_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "find_spec", {}.get)
    run = mouldgen("sheet", PEGS, "--pdf", "--out", str(tmp_path))

    assert run.code == 3
    assert "pip install 'mouldgen[pdf]'" in " ".join(run.err.split())
    assert list(tmp_path.iterdir()) == []
    with pytest.raises(SurroundingsError, match="typst, which is not installed"):
        sheet_pdf(data_of(PEGS))
