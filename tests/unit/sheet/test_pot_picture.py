"""The picture of a pot load: true to scale, tiers side by side, every mould with its number."""

import math
import xml.etree.ElementTree as ET

import pytest

from mouldgen.job.shop_tables import Pot
from mouldgen.layout.pot import PotPlan, plan_pot
from mouldgen.layout.pot_mould import PotMould
from mouldgen.packing.shapes import Disc, Polygon, Rectangle
from mouldgen.sheet.pot_picture import pot_svg

SVG = "{http://www.w3.org/2000/svg}"
POT = Pot(diameter="228 mm", height="230 mm").model_copy(update={"tiers": 2})
PEG = PotMould("mould", Disc(22.0), 44.0, 97.0)
CATCH = PotMould("catch mould", Disc(15.0), 30.0, 30.0)


def planned(mould: PotMould = PEG, moulds: int = 20, catches: int = 0) -> PotPlan:
    plan = plan_pot(mould, pot=POT, moulds=moulds, catch=CATCH, catches=catches)
    assert plan is not None
    return plan


def drawn(plan: PotPlan, title: str = "pegs, load 1") -> ET.Element:
    return ET.fromstring(pot_svg(plan, plan.loads[0], title=title))


def circles(root: ET.Element) -> list[tuple[float, float, float]]:
    found = root.iter(f"{SVG}circle")
    return [tuple(float(c.attrib[k]) for k in ("cx", "cy", "r")) for c in found]  # type: ignore[misc]


def test_one_unit_is_one_millimetre_and_tiers_stand_side_by_side() -> None:
    plan = planned()
    root = drawn(plan)

    # Two pots of 228 mm, 6 mm of white round and between them; 32 mm above; below
    # nine and three eighths heights of the type, 8 mm, as one of the sentences takes two lines.
    assert (root.get("width"), root.get("height")) == ("474mm", "335mm")
    assert root.get("viewBox") == "0 0 474 335"
    walls = [c for c in circles(root) if c[2] == 114.0]
    margins = [c for c in circles(root) if c[2] == 106.0]
    assert walls == [(120.0, 146.0, 114.0), (354.0, 146.0, 114.0)]
    assert [c[:2] for c in margins] == [c[:2] for c in walls]


def test_moulds_are_where_the_plan_says_with_the_back_at_the_head() -> None:
    plan = planned()
    moulds = [c for c in circles(drawn(plan)) if c[2] == 22.0]

    middles = (120.0, 354.0)
    expected = [
        (middles[t] + place.x_mm, 146.0 - place.y_mm)
        for t, tier in enumerate(plan.loads[0].tiers)
        for place in tier.places
    ]
    assert len(moulds) == 20
    assert all(math.dist(m[:2], e) < 1e-3 for m, e in zip(moulds, expected, strict=True))


def test_every_mould_has_its_number_and_a_catch_mould_a_letter() -> None:
    plan = planned(catches=2)
    texts = [text.text for text in drawn(plan).iter(f"{SVG}text")]

    assert [t for t in texts if t and t.isdigit()] == [str(n) for n in range(1, 21)]
    assert texts.count("C") == 2


@pytest.mark.parametrize("tag", ["rect", "polygon"])
def test_trays_are_drawn_as_they_stand(tag: str) -> None:
    corners = ((30, -20), (30, 20), (20, 30), (-30, 30), (-30, -30), (20, -30))
    shape = Rectangle(60, 50) if tag == "rect" else Polygon(corners)
    plan = planned(PotMould("mould", shape, 84.9, 97.0), 3)
    found = [e for e in drawn(plan).iter(f"{SVG}{tag}") if e.get("fill") == "#eeeeee"]

    assert len(found) == 3


def test_title_is_escaped_and_the_description_says_what_is_left() -> None:
    text = pot_svg(planned(), planned().loads[0], title="A & <B>")

    assert "A &amp; &lt;B&gt;" in text
    root = ET.fromstring(text)
    told = root.find(f"{SVG}desc")
    assert told is not None
    assert told.text is not None
    assert "8 mm kept free along the wall" in told.text
    assert "tier 2: moulds 11 to 20. 31 mm of the height are left over." in told.text
