"""The picture of a bed: true to scale, readable by machines, the same every time."""

import xml.etree.ElementTree as ET

import pytest

from mouldgen.job.shop_tables import Printer
from mouldgen.layout.beds import BedPlan, PartFootprint, lay_out
from mouldgen.packing.shapes import Disc, Polygon, Rectangle, RoundedRectangle
from mouldgen.sheet.bed_picture import bed_svg

SVG = "{http://www.w3.org/2000/svg}"
SQUARE = Printer(shape="rectangle", width="220 mm", depth="200 mm", height="250 mm")
ROUND = Printer(shape="round", diameter="250 mm", height="250 mm")
PARTS = [
    PartFootprint("body", Disc(17.0), 90.0, first=1),
    PartFootprint("lid", Disc(20.0), 12.0, first=1),
]


def first_bed(printer: Printer, parts: list[PartFootprint] = PARTS) -> BedPlan:
    return lay_out(parts, printer=printer)[0]


def drawn(plan: BedPlan, printer: Printer, title: str = "pegs, bed 1") -> ET.Element:
    return ET.fromstring(bed_svg(plan, printer, title=title))


def texts(root: ET.Element) -> list[str]:
    return [text.text or "" for text in root.iter(f"{SVG}text")]


@pytest.mark.parametrize(
    ("printer", "size", "page"), [(SQUARE, (220, 200), (232, 287)), (ROUND, (250, 250), (262, 346))]
)
def test_one_unit_is_one_millimetre(
    printer: Printer, size: tuple[int, int], page: tuple[int, float]
) -> None:
    # Four heights of the type above and eight below, the type a 32nd of its width, 8 mm at most.
    root = drawn(first_bed(printer), printer)

    assert root.get("width") == f"{page[0]}mm"
    assert root.get("height") == f"{page[1]}mm"
    assert root.get("viewBox") == f"0 0 {page[0]} {page[1]}"
    bed = root.find(f"{SVG}g")
    assert bed is not None
    outline = bed[0].attrib
    if printer is SQUARE:
        assert (outline["width"], outline["height"]) == ("220", "200")
    else:
        assert (outline["cx"], outline["cy"], outline["r"]) == ("125", "125", "125")
    assert size[0] + 12 == page[0]


@pytest.mark.parametrize("printer", [SQUARE, ROUND])
def test_circles_lie_where_the_plan_says_with_the_front_at_the_foot(printer: Printer) -> None:
    plan = first_bed(printer)
    circles = [
        tuple(float(c.attrib[key]) for key in ("cx", "cy", "r"))
        for c in drawn(plan, printer).iter(f"{SVG}circle")
    ]
    depth = 200 if printer is SQUARE else 250

    assert circles[-2:] == [(i.x_mm, depth - i.y_mm, i.half_mm[0]) for i in plan.items]


@pytest.mark.parametrize("printer", [SQUARE, ROUND])
def test_margin_is_dashed_and_left_out_when_there_is_none(printer: Printer) -> None:
    bare = printer.model_copy(update={"margin": 0.0})

    assert bed_svg(first_bed(printer), printer, title="x").count("stroke-dasharray") == 1
    assert bed_svg(first_bed(bare), bare, title="x").count("stroke-dasharray") == 0


def test_parts_carry_name_and_number_and_the_bar_its_length() -> None:
    words = texts(drawn(first_bed(SQUARE), SQUARE))

    assert {"body", "lid", "1", "2", "50 mm", "front"} < set(words)
    assert "220 × 200 mm: 1 × body, 1 × lid" in words


def test_tiny_parts_carry_no_label_that_cannot_be_read() -> None:
    root = drawn(first_bed(SQUARE, [PartFootprint("pin", Disc(3.0), 9.0, first=1)]), SQUARE)

    assert "pin" not in texts(root)
    assert min(float(t.attrib["font-size"]) for t in root.iter(f"{SVG}text")) >= 2.2


def test_a_small_bed_keeps_its_words_legible() -> None:
    small = Printer(shape="rectangle", width="50 mm", depth="90 mm", height="90 mm")
    root = drawn(first_bed(small), small)

    assert root.get("viewBox") == "0 0 120 138"
    assert min(float(t.attrib["font-size"]) for t in root.iter(f"{SVG}text")) >= 3


def test_title_is_escaped_and_told_to_screen_readers() -> None:
    root = drawn(first_bed(SQUARE), SQUARE, title='<script>&"pegs"')
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")

    assert title is not None
    assert title.text == '<script>&"pegs"'
    assert desc is not None
    assert desc.text == (
        "Bed 1 from above, front at the foot: 220 × 200 mm, 5 mm kept free along the edge, "
        "at least 3 mm between parts. On it: 1 × body, 1 × lid. Parts cover 5 % of it."
    )
    assert root.get("aria-labelledby") == "bed-title bed-desc"


def test_the_same_plan_gives_the_same_text_without_anything_from_outside() -> None:
    one = bed_svg(first_bed(SQUARE), SQUARE, title="x")

    assert one == bed_svg(first_bed(SQUARE), SQUARE, title="x")
    assert "href" not in one
    assert one.endswith("</svg>\n")


def test_a_rectangle_is_drawn_the_way_it_lies() -> None:
    long = PartFootprint("long", Rectangle(95.0, 205.0), 10.0)
    (plan,) = lay_out([long], printer=SQUARE)
    (place,) = plan.items
    *_, part = drawn(plan, SQUARE).iter(f"{SVG}rect")
    x, y, width, depth = (float(part.attrib[key]) for key in ("x", "y", "width", "height"))

    assert place.turned
    assert (width, depth) == (205.0, 95.0)
    assert (x + width / 2, 200 - (y + depth / 2)) == (place.x_mm, place.y_mm)
    assert "long" in texts(drawn(plan, SQUARE))


def test_keep_outs_are_drawn_where_they_lie_and_told() -> None:
    clipped = SQUARE.model_copy(update={"keep_out": ((0.0, 90.0, 12.0, 20.0),)})
    root = drawn(first_bed(clipped), clipped)
    (zone,) = root.iter(f"{SVG}polygon")
    (told,) = root.iter(f"{SVG}desc")

    assert zone.attrib["points"] == "0,110 12,110 12,90 0,90"  # the bed is 200 deep
    assert "nothing on 1 zone drawn dark" in (told.text or "")


def test_an_outline_is_drawn_as_it_lies() -> None:
    wedge = Polygon(((0, 0), (150, 0), (0, 180)))
    plan = first_bed(SQUARE, [PartFootprint("wedge", wedge, 10.0)])
    (place,) = plan.items
    (outline,) = drawn(plan, SQUARE).iter(f"{SVG}polygon")
    corners = [tuple(map(float, pair.split(","))) for pair in outline.attrib["points"].split()]

    turned = wedge.turned(place.turned).corners_mm
    assert corners == [(place.x_mm + x, 200 - place.y_mm - y) for x, y in turned]


def test_round_corners_are_drawn_round() -> None:
    plan = first_bed(SQUARE, [PartFootprint("pad", RoundedRectangle(60, 40, 8), 10.0)])
    rounded = [r for r in drawn(plan, SQUARE).iter(f"{SVG}rect") if r.get("rx")]

    assert [(r.get("rx"), r.get("width"), r.get("height")) for r in rounded] == [("8", "60", "40")]
