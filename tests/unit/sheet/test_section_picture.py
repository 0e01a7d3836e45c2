"""The dimensioned section: read back from the file it is as long, wide and thick as it says."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from functools import cache
from itertools import combinations

import numpy as np
import pytest

from mouldgen.build import build_moulds
from mouldgen.errors import NoAnswerError
from mouldgen.job.load import load_job
from mouldgen.job.presets import shipped_folder
from mouldgen.mould.plan import CupPlan
from mouldgen.mould_set import MouldSet
from mouldgen.sheet.plane_cut import Loops, area_mm2, ends, spans
from mouldgen.sheet.section_layout import DROP, RISE, Box
from mouldgen.sheet.section_picture import section_svg, size_words
from mouldgen.sheet.section_sizes import AGREES_MM, SectionSizes, sizes_of
from mouldgen.sheet.section_style import HATCHES
from mouldgen.sheet.section_view import section_of
from mouldgen.size.lying import Lying
from mouldgen.size.rubber import RubberSize
from tests.demo_set import changed_set, demo_set

SVG = "{http://www.w3.org/2000/svg}"
JOBS = sorted(path.stem for path in (shipped_folder() / "jobs").glob("*.toml"))
CUPS = (
    "bell-pulls",
    "boathouse-pegs",
    "chest-toggles",
    "curtain-finials",
    "drawer-knobs",
    "lantern-grips",
)
WIDE = 0.6  # of a letter, of the height of the type: generous for sans-serif
# What a scan's shell cannot show: its gap is kept in space, not in one plane.
TOLD = {
    "apple-toppers": {"port Ø"},
    "burl-knobs": {"bore at the foot Ø", "gap", "insert Ø", "insert's length", "port Ø"},
    "conference-pens": {"port Ø"},
    "gear-knob": {"port Ø"},
    "locker-pegs": {"vent Ø"},
}
EVERY = {
    "bore-foot", "bore-top", "gap-left", "gap-right", "wall", "floor", "insert-across",
    "insert-along", "fill", "level", "total", "lid", "piece", "turning",
}  # fmt: skip


@cache
def mould_set(job: str) -> MouldSet:
    return demo_set() if job == "boathouse-pegs" else build_moulds(load_job(job).job)


@cache
def drawn(job: str) -> ET.Element:
    return ET.fromstring(section_svg(mould_set(job), title=f"{job} & its insert"))


@cache
def sizes(job: str) -> SectionSizes:
    return sizes_of(mould_set(job), section_of(mould_set(job)))


def cut(root: ET.Element, name: str) -> Loops:
    """Outlines of a path, in millimetres of the parts."""
    (path,) = (p for p in root.iter(f"{SVG}path") if p.get("id") == f"section-{name}")
    return tuple(
        np.array([[float(number) for number in pair.split(",")] for pair in ring.split("L")])
        for ring in re.findall(r"M([^Z]*)Z", path.attrib["d"])
    )


def texts(root: ET.Element) -> list[tuple[str, Box]]:
    """Every text with what it covers on the page."""
    found = []
    for text in root.iter(f"{SVG}text"):
        words, size = text.text or "", float(text.attrib["font-size"])
        x, y, wide = float(text.attrib["x"]), float(text.attrib["y"]), WIDE * size * len(words)
        back = {"start": 0.0, "middle": wide / 2.0, "end": wide}[text.attrib["text-anchor"]]
        rise, drop = RISE * size, DROP * size
        if text.get("transform", "").startswith("rotate(-90"):
            box = Box(x - rise, y + back - wide, x + drop, y + back)
        else:
            assert text.get("transform") is None
            box = Box(x - back, y - rise, x - back + wide, y + drop)
        found.append((words, box))
    return found


# ----------------------------------------------------------------- the demo, read back


def test_the_drawn_gap_is_that_of_the_report() -> None:
    found, root = demo_set(), drawn("boathouse-pegs")
    assert found.plan is not None
    size, foot = found.plan.size, found.plan.insert_foot_mm

    walls = spans(cut(root, "cut-body"), foot + 0.01)
    (left, right), _ = ends(cut(root, "envelope"))
    gaps = left - walls[0][1], walls[-1][0] - right

    assert gaps == pytest.approx((size.gap_mm, size.gap_mm), abs=0.01)
    assert found.measured_least_mm is not None
    assert gaps == pytest.approx((found.measured_least_mm,) * 2, abs=0.01)


def test_bore_wall_and_floor_are_drawn_as_they_are() -> None:
    found, body = demo_set(), cut(drawn("boathouse-pegs"), "cut-body")
    plan = found.plan
    assert isinstance(plan, CupPlan)
    size, floor = plan.size, found.answer.sizes.floor_mm

    for z in (2.0, 40.0, size.fill_mm):  # above the cone for the drill
        walls = spans(body, z)
        assert len(walls) == 2
        assert walls[1][0] - walls[0][1] == pytest.approx(2 * size.bore_mm(z), abs=0.01)
        for inner, outer in walls:
            assert outer - inner == pytest.approx(size.wall_mm, abs=0.01)
    assert spans(body, 10.0, upright=True) == (pytest.approx((-floor, 0.0), abs=0.01),)
    (_, (low, _)), (_, (_, high)) = ends(body), ends(cut(drawn("boathouse-pegs"), "cut-lid"))
    assert high - low == pytest.approx(size.stack_height_mm, abs=0.001)


@pytest.mark.parametrize("job", CUPS)
def test_a_cups_hatched_body_has_the_area_of_its_closed_form(job: str) -> None:
    found, view = mould_set(job), section_of(mould_set(job))
    plan = found.plan
    assert isinstance(plan, CupPlan)
    size, floor = plan.size, found.answer.sizes.floor_mm
    radius, rim = size.bore_mm(0.0), size.rim_mm
    area = 2.0 * size.wall_mm * rim + 2.0 * (radius + size.wall_mm) * floor
    cone, high = plan.centre_pip
    area += cone * high
    grooves = sum(len(line.grooves_mm) for line in plan.lines)
    area -= 2.0 * grooves * 0.4**2  # a V as deep as it is high to either side, on both sides
    turn = math.radians(view.azimuth_deg)
    for x, y, r in plan.pips:
        off = abs(y * math.cos(turn) - x * math.sin(turn))
        area += 2.0 * math.sqrt(max(r * r - off * off, 0.0)) * plan.question.pip_mm

    assert size.slope == 0.0
    assert area_mm2(cut(drawn(job), "cut-body")) == pytest.approx(area, rel=0.005)


@pytest.mark.parametrize(
    ("job", "area"),
    [
        ("locker-pegs", 2 * 20.0 * 60.0),  # two rods of a row
        ("lamp-finials", 2 * (40.0 + 10.0) / 2.0 * 70.0),  # two cones
        ("gear-knob", 54.0 * 60.0),  # boards glued up
    ],
)
def test_inserts_have_the_area_of_their_sections(job: str, area: float) -> None:
    assert area_mm2(cut(drawn(job), "cut-insert")) == pytest.approx(area, rel=0.002)


# ----------------------------------------------------------------------- the numbers


@pytest.mark.parametrize("job", JOBS)
def test_every_length_is_shown_or_told_and_none_twice(job: str) -> None:
    found = sizes(job)
    names = [d.name for d in found.shown]

    assert {label for label, _ in found.told} == TOLD.get(job, set())
    assert len(set(names)) == len(names)
    if job != "burl-knobs":
        assert set(names) >= EVERY
    for dimension in found.shown:
        assert dimension.seen_mm == pytest.approx(dimension.value_mm, abs=AGREES_MM)


@pytest.mark.parametrize("job", JOBS)
def test_every_number_is_the_sets_own(job: str) -> None:
    found, root = mould_set(job), drawn(job)
    plan, answer = found.plan, found.answer
    assert plan is not None
    assert answer.size is not None
    size = plan.size
    wanted = {
        "gap-left": size.gap_mm,
        "gap-right": size.gap_mm,
        "wall": size.wall_mm,
        "fill": size.fill_mm,
        "level": size.level_mm,
        "lid": answer.sizes.lid_mm,
        "total": size.stack_height_mm,
        "floor": answer.sizes.floor_mm,
        "turning": answer.question.turning_mm,
        "piece": answer.job.piece.diameter,
    }
    if isinstance(plan, CupPlan):
        wanted |= {
            "bore-foot": 2 * size.bore_mm(plan.size.floor_rise_mm),
            "bore-top": 2 * size.bore_mm(size.fill_mm),
            "insert-across": 2 * answer.insert.envelope_mm,
            "insert-along": answer.insert.length_mm,
            "vent": 2 * plan.vents[0][2],
        }
    else:
        laid = plan.question.laid
        assert isinstance(laid, Lying)
        wanted |= {
            "bore-foot": size.pocket_mm(0.0)[0],
            "bore-top": size.pocket_mm(size.fill_mm)[0],
            "insert-across": laid.width_mm,
            "insert-along": laid.tall_mm,
        }
    if plan.port is not None:
        wanted["port"] = 2 * plan.port[2]
    if isinstance(size, RubberSize):
        wanted["floor"] = size.rubber_floor_mm
    if job == "orchard-grips":  # without the brim of its runner, which stands beside the plane
        wanted["total"] = size.rim_mm + answer.sizes.floor_mm + answer.sizes.lid_mm

    inches = answer.job.unit == "in"
    written = {
        name.removeprefix("section-size-"): text.text or ""
        for text in root.iter(f"{SVG}text")
        if (name := text.get("id", "")).startswith("section-size-")
    }
    assert set(written) == {d.name for d in sizes(job).shown}
    for name, words in written.items():
        assert words.endswith(" " + size_words(wanted[name], inches=inches)), name


def test_a_job_in_inches_is_told_in_inches() -> None:
    found = build_moulds(load_job("boathouse-pegs", sets=["unit=in"]).job)
    words = [text for text, _ in texts(ET.fromstring(section_svg(found, title="pegs")))]

    assert "gap 0.035 in" in words  # 0.88 mm
    assert "insert Ø 1 3/16 in" in words  # 30 mm, to 1/64
    assert not [text for text in words if " mm" in text]


# ------------------------------------------------------------------------ the page


@pytest.mark.parametrize("job", JOBS)
def test_no_text_lies_on_another_and_all_are_on_the_page(job: str) -> None:
    root = drawn(job)
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    found = texts(root)

    assert [
        (one, other) for (one, box), (other, their) in combinations(found, 2) if box.meets(their)
    ] == []
    for words, box in found:
        assert box.left >= 0.0, words
        assert box.top >= 0.0, words
        assert box.right <= width, words
        assert box.foot <= height, words


@pytest.mark.parametrize("job", JOBS)
def test_lines_and_parts_are_on_the_page_at_a_plain_scale(job: str) -> None:
    root = drawn(job)
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    (group,) = (g for g in root if g.tag == f"{SVG}g" and g.find(f"{SVG}path") is not None)
    moved = re.fullmatch(
        r"translate\(([\d.]+) ([\d.]+)\) scale\(([\d.]+) -([\d.]+)\)", group.attrib["transform"]
    )
    assert moved is not None
    x, y, scale, same = map(float, moved.groups())
    assert scale == same
    assert scale in {5.0, 2.0, 1.0, 0.5, 0.2, 0.1}
    assert width <= 190.0  # A4 within margins of 10 mm, so that paper keeps the scale
    assert height <= 240.0
    parts = [name for name in HATCHES if f"section-cut-{name}" in {p.get("id") for p in group}]
    for name in parts:
        (left, right), (low, high) = ends(cut(root, f"cut-{name}"))
        assert 0.0 < x + scale * left < x + scale * right < width
        assert 0.0 < y - scale * high < y - scale * low < height
    for path in root.findall(f"{SVG}path"):  # dimension lines and arrows
        for a, b in re.findall(r"[ML]([-\d.]+),([-\d.]+)", path.attrib["d"]):
            assert 0.0 <= float(a) <= width
            assert 0.0 <= float(b) <= height


@pytest.mark.parametrize("job", JOBS)
def test_each_part_has_a_hatching_of_its_own_direction(job: str) -> None:
    root = drawn(job)
    patterns = {p.attrib["id"]: p.attrib["patternTransform"] for p in root.iter(f"{SVG}pattern")}
    filled = {
        p.attrib["id"].removeprefix("section-cut-"): p.attrib["fill"]
        for p in root.iter(f"{SVG}path")
        if p.get("id", "").startswith("section-cut-")
    }

    assert {"lid", "insert"} < set(filled)
    assert filled == {name: f"url(#section-{name})" for name in filled}
    assert len({patterns[f"section-{name}"] for name in filled}) == len(filled)


def test_rubber_is_hatched_crosswise_and_plastic_is_not() -> None:
    def lines(job: str, name: str) -> str:
        root = drawn(job)
        found = [p for p in root.iter(f"{SVG}pattern") if p.get("id") == f"section-{name}"]
        return found[0][0].attrib["d"]

    assert re.fullmatch(r"M0,[\d.]+H[\d.]+M[\d.]+,0V[\d.]+", lines("lamp-finials", "body"))
    for job, name in (("lamp-finials", "lid"), ("boathouse-pegs", "body")):
        assert re.fullmatch(r"M0,[\d.]+H[\d.]+", lines(job, name))


def test_a_runner_beside_the_plane_is_told() -> None:
    found = changed_set("pour.sequence=bottom-feed")
    words = " ".join(text for text, _ in texts(ET.fromstring(section_svg(found, title="pegs"))))

    assert "The runner that fills it from below stands beside this plane." in words
    assert "runner" not in " ".join(text for text, _ in texts(drawn("boathouse-pegs")))


def test_the_file_tells_what_it_shows_and_follows_the_reader_into_the_dark() -> None:
    root = drawn("boathouse-pegs")
    title, description, style = (root.find(f"{SVG}{tag}") for tag in ("title", "desc", "style"))

    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "section-title section-desc"
    assert title is not None
    assert title.text == "boathouse-pegs & its insert"
    assert description is not None
    assert "gap 0.88 mm" in (description.text or "")
    assert style is not None
    assert "prefers-color-scheme:dark" in (style.text or "")
    colours = {e.get(key) for e in root.iter() for key in ("fill", "stroke")}
    assert {c for c in colours if c and not c.startswith("url(")} == {"currentColor", "none"}


def test_the_same_set_gives_the_same_bytes() -> None:
    again = build_moulds(load_job("boathouse-pegs").job)

    assert section_svg(again, title="pegs") == section_svg(demo_set(), title="pegs")


def test_the_lid_is_turned_by_as_little_as_shows_a_vent() -> None:
    view = section_of(demo_set())
    words = [text for text, _ in texts(drawn("boathouse-pegs"))]

    # Vents stand at 30, 150 and 270 degrees; the plane goes between a groove and a rib.
    assert abs(view.lid_azimuth_deg - view.azimuth_deg) <= 30.0
    assert (view.lid_azimuth_deg - 30.0) % 60.0 == pytest.approx(0.0, abs=1e-4)
    by = abs(view.lid_azimuth_deg - view.azimuth_deg)
    assert f"The lid is drawn turned by {by:g} degrees, to show a vent." in " ".join(words)


@pytest.mark.parametrize(
    "changed",
    [
        ("mould.draft=2 deg",),
        ("mould.hold=dowel",),
        ("mould.hold=band", "mould.gap=3 mm"),
        ("mould.hold=screw", "mould.vent_grooves=0"),
        ("mould.lid_screws=3",),
        ("mould.tenon=16 mm",),
        ("mould.knock_out=true", "mould.draft=1 deg"),
        ("pour.sequence=bottom-feed",),
        ("mould.family=split",),
        ("mould.lettering=false", "unit=in"),
        ("insert.length=180 mm", "piece.length=160 mm", "mould.fill=190 mm", "mould.gap=4 mm"),
    ],
    ids=lambda changed: changed[0],
)
def test_other_features_leave_texts_apart_and_numbers_true(changed: tuple[str, ...]) -> None:
    found = changed_set(*changed)
    assert found.parts is not None
    root = ET.fromstring(
        section_svg(found, title="a title that is longer than the page is wide " * 4)
    )
    _, _, width, height = map(float, root.attrib["viewBox"].split())

    boxes = [box for _, box in texts(root)]
    assert not any(one.meets(other) for one, other in combinations(boxes, 2))
    assert all(b.left >= 0 and b.right <= width and b.foot <= height for b in boxes)
    found_sizes = sizes_of(found, section_of(found))
    assert {"gap-left", "gap-right", "wall", "floor", "lid"} <= {d.name for d in found_sizes.shown}


@pytest.mark.parametrize("job", ["apple-toppers", "conference-pens"])
def test_a_tray_is_cut_beside_the_notch_that_drains_it(job: str) -> None:
    # Through the notch, one outer wall would end at the deck, and the tray would seem open there.
    found = mould_set(job)
    assert found.plan is not None
    view, size = section_of(found), found.plan.size
    (body,) = view.bodies
    (left, right), _ = ends(body.loops)

    for u in (left + size.wall_mm / 2.0, right - size.wall_mm / 2.0):
        (_, top) = spans(body.loops, u, upright=True)[-1]
        assert top == pytest.approx(size.rim_mm, abs=1e-3)
    if job == "conference-pens":  # its only pocket's middle lies in line with the notch
        assert abs(view.across) > 4.0
        assert abs(view.across) < found.answer.job.piece.length / 2.0


def test_a_conflict_has_no_section() -> None:
    found = MouldSet.in_conflict(demo_set().answer, fingerprint="", findings=())

    assert found.parts is None
    with pytest.raises(NoAnswerError, match="no mould to draw a section of"):
        section_svg(found, title="none")
